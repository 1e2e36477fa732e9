"""The units: serving, the night, the backup, and reminders, each closed off from all that the book does not need."""

from collections.abc import Iterable, Iterator
from datetime import time
from pathlib import Path
from typing import NamedTuple

from torqueaudit.systemd.quoting import command, word

BACKUP_AT = time(5, 10)  # behind the night, whose seal is in it; no change of a clock leaves it out (decision 0106)
LOWEST_FREE_PORT = 1024
TEMPORARY = (Path("/tmp"), Path("/var/tmp"))  # noqa: S108  # told apart from other places
HOMES = (Path("/home"), Path("/root"), Path("/run/user"))

# What every unit may not do, whoever's it is (systemd.exec(5)).
ALWAYS = """\
NoNewPrivileges=yes
LockPersonality=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
RestrictNamespaces=yes
SystemCallArchitectures=native
SystemCallFilter=@system-service
UMask=0027
"""
# What only the manager of the whole machine can close off.
OF_SYSTEM = """\
ProtectSystem=strict
PrivateDevices=yes
ProtectClock=yes
ProtectControlGroups=yes
ProtectHostname=yes
ProtectKernelLogs=yes
ProtectKernelModules=yes
ProtectKernelTunables=yes
ProtectProc=invisible
RemoveIPC=yes
"""

NETWORK = "RestrictAddressFamilies=AF_UNIX AF_INET AF_INET6\n"
SERVE = f"Type=exec\nRestart=on-failure\nRestartSec=5\n{NETWORK}"
# A night that found something fails as well: 1 is also how Python ends a program that it cannot begin.
NIGHT = f"Type=oneshot\n{NETWORK}"
BACKUP = "Type=oneshot\nPrivateNetwork=yes\nRestrictAddressFamilies=AF_UNIX\n"
REMIND = f"Type=oneshot\n{NETWORK}"
STARTED = ("serve.service", "nightly.timer", "backup.timer", "remind.timer")  # each of the others by one of these
# What each is told of mail, by the names of its surroundings.
MAIL = {
    "nightly": ("TORQUEAUDIT_SMTP", "TORQUEAUDIT_MAIL_FROM", "TORQUEAUDIT_MAIL_TO", "TORQUEAUDIT_REPORT_TO"),
    "remind": ("TORQUEAUDIT_SMTP", "TORQUEAUDIT_MAIL_FROM"),
}


class Account(NamedTuple):
    """Whose the book is: user and group, by name or number."""

    user: str
    group: str


class Setup(NamedTuple):
    """What the units are written from. Every path is absolute.

    `account` is None for a user's own units. `serve` are the options of `serve` besides its port, and `mail` what is
    set for mailing, by the names of the surroundings.
    """

    site: str
    program: Path
    book: Path
    secrets: Path
    reports: Path
    backups: Path
    keep: int
    account: Account | None
    zone: str
    runs_at: time
    serve: tuple[str, ...]
    port: int
    mail: tuple[tuple[str, str], ...] = ()

    @property
    def name(self) -> str:
        """How the names of its units begin."""
        return f"torqueaudit-{self.site.lower()}"


def units_of(setup: Setup) -> dict[str, str]:
    """The text of each unit by the name of its file. Raises ValueError where something cannot be written in one."""
    pages = ("serve", *setup.serve, "--port", str(setup.port))
    night = ("nightly", "--since-last", "--out", str(setup.reports), "--by-date")
    copies = ("book", "backup", str(setup.backups), "--daily", "--keep", str(setup.keep))
    units = {
        "serve.service": _service(setup, "the pages", SERVE, pages),
        "nightly.service": _service(setup, "the nightly report", NIGHT, night, setup.reports),
        "nightly.timer": _timer(setup, "the nightly report", _daily(setup, setup.runs_at)),
        "backup.service": _service(setup, "the backup", BACKUP, copies, setup.backups),
        "backup.timer": _timer(setup, "the backup", _daily(setup, BACKUP_AT)),
        "remind.service": _service(setup, "reminders", REMIND, ("remind",)),
        "remind.timer": _timer(setup, "reminders", "hourly"),
    }
    return {f"{setup.name}-{name}": text for name, text in units.items()}


def started(setup: Setup) -> list[str]:
    """The units that are enabled: those that are started by nothing else."""
    return [f"{setup.name}-{name}" for name in STARTED]


def folders_of(setup: Setup) -> tuple[Path, ...]:
    """The folders that have to be there before a unit starts."""
    return setup.secrets.parent, setup.reports, setup.backups


def _service(setup: Setup, what: str, how: str, words: tuple[str, ...], *more: Path) -> str:
    """A unit that runs the program with some words; it writes to the book, to the secrets, and to `more`."""
    target = "multi-user.target" if setup.account else "default.target"
    mail = [(name, told) for name, told in setup.mail if name in MAIL.get(words[0], ())]
    waits = "" if how == BACKUP or not setup.account else "Wants=network-online.target\nAfter=network-online.target\n"
    settings = [("TORQUEAUDIT_SECRETS", str(setup.secrets)), *mail]
    lines = [
        f"[Unit]\nDescription=torqueaudit {setup.site}: {what}\n{waits}\n[Service]\n{how}",
        f"ExecStart={command(str(setup.program), '--book', str(setup.book), *words)}\n",
        *(f"Environment={word(f'{name}={value}')}\n" for name, value in settings),
        *_closed(setup, more, low_port=how == SERVE and setup.port < LOWEST_FREE_PORT),
        f"\n[Install]\nWantedBy={target}\n" if how == SERVE else "",
    ]
    return "".join(lines)


def _closed(setup: Setup, more: tuple[Path, ...], *, low_port: bool) -> Iterator[str]:
    """What the unit may not do, and the few places that it may write to."""
    yield f"CacheDirectory={setup.name}\nEnvironment=XDG_CACHE_HOME=%C/{setup.name}\n{ALWAYS}"
    if setup.account is None:
        return
    written = _outermost([setup.book.parent, setup.secrets.parent, *more])
    used = [*written, setup.program]
    may = "CAP_NET_BIND_SERVICE" if low_port else ""
    yield f"User={word(setup.account.user)}\nGroup={word(setup.account.group)}\n{OF_SYSTEM}"
    yield f"ProtectHome={'read-only' if _lies_in(used, HOMES) else 'yes'}\n"
    yield f"PrivateTmp={'no' if _lies_in(used, TEMPORARY) else 'yes'}\n"
    yield f"CapabilityBoundingSet={may}\n{'AmbientCapabilities=CAP_NET_BIND_SERVICE' if may else ''}".rstrip() + "\n"
    yield f"ReadWritePaths={' '.join(word(str(place)) for place in written)}\n"


def _timer(setup: Setup, what: str, calendar: str) -> str:
    """What starts the service of the same name; a time at which the machine was off is made up for once."""
    said = f"[Unit]\nDescription=torqueaudit {setup.site}: when to begin {what}\n"
    return f"{said}\n[Timer]\nOnCalendar={calendar}\nPersistent=true\n\n[Install]\nWantedBy=timers.target\n"


def _daily(setup: Setup, at: time) -> str:
    return f"*-*-* {at:%H:%M:%S} {setup.zone}"


def _outermost(places: Iterable[Path]) -> list[Path]:
    """Each folder once, without those that lie in another of them."""
    several = list(dict.fromkeys(places))
    return [each for each in several if not any(each != other and each.is_relative_to(other) for other in several)]


def _lies_in(places: Iterable[Path], folders: Iterable[Path]) -> bool:
    return any(place.is_relative_to(folder) for place in places for folder in folders)
