"""What a unit may write to, and what it is closed off from: no more and no less than the book needs."""

from datetime import time
from pathlib import Path

import pytest

from torqueaudit.systemd.texts import Account, Setup, started, units_of

SETUP = Setup(
    site="YARD",
    program=Path("/opt/torqueaudit/bin/torqueaudit"),
    book=Path("/srv/yard/yard.book"),
    secrets=Path("/var/lib/torqueaudit/secrets.json"),
    reports=Path("/srv/yard/reports"),
    backups=Path("/mnt/other disk/backups"),
    keep=14,
    account=Account("yard", "workshop"),
    zone="Europe/Vienna",
    runs_at=time(4, 30),
    serve=("--host", "0.0.0.0"),  # noqa: S104  # written, and not listened on
    port=8080,
)


def lines(setup: Setup, unit: str) -> list[str]:
    return units_of(setup)[f"torqueaudit-yard-{unit}"].splitlines()


@pytest.mark.parametrize(
    ("unit", "written"),
    [
        ("serve.service", "/srv/yard /var/lib/torqueaudit"),
        ("nightly.service", "/srv/yard /var/lib/torqueaudit"),
        ("remind.service", "/srv/yard /var/lib/torqueaudit"),
        ("backup.service", '/srv/yard /var/lib/torqueaudit "/mnt/other disk/backups"'),
    ],
)
def test_each_writes_to_the_book_the_secrets_and_its_own_folder(unit: str, written: str) -> None:
    """Everything else is read-only; a folder within another is not named twice."""
    own = lines(SETUP, unit)

    assert f"ReadWritePaths={written}" in own
    assert {"User=yard", "Group=workshop", "ProtectSystem=strict", "NoNewPrivileges=yes", "PrivateTmp=yes"} <= {*own}
    assert {"ProtectHome=yes", "CapabilityBoundingSet="} <= {*own}


def test_a_book_in_a_home_or_among_temporary_files_is_reached() -> None:
    """Homes are then read-only in place of hidden, and the folder for temporary files is that of the machine."""
    home = lines(SETUP._replace(book=Path("/home/yard/book/yard.book")), "serve.service")
    temporary = lines(SETUP._replace(book=Path("/tmp/yard/yard.book")), "serve.service")  # noqa: S108  # named alone

    assert "ProtectHome=read-only" in home
    assert {"ProtectHome=yes", "PrivateTmp=no"} <= {*temporary}


def test_a_program_that_cannot_begin_is_no_night_that_ran() -> None:
    """Python ends it with exit code 1, as a night that found something ends: none but 0 is a success."""
    assert [] == [line for text in units_of(SETUP).values() for line in text.splitlines() if "SuccessExit" in line]


def test_every_timer_is_started_and_every_service_by_a_timer_or_itself() -> None:
    """No unit is written that nothing starts."""
    by_timer = {name.replace(".timer", ".service") for name in started(SETUP)}

    assert {*units_of(SETUP)} == {*started(SETUP), *by_timer}


def test_serve_listens_where_it_is_told_to() -> None:
    """The port stands in the command as in the rights."""
    assert any(
        line.endswith(" serve --host 0.0.0.0 --port 443") for line in lines(SETUP._replace(port=443), "serve.service")
    )


def test_a_low_port_takes_the_one_right_that_it_needs_and_serve_alone() -> None:
    """Below 1024 whoever is not root needs it (capabilities(7), CAP_NET_BIND_SERVICE)."""
    low = SETUP._replace(port=443)

    assert {"CapabilityBoundingSet=CAP_NET_BIND_SERVICE", "AmbientCapabilities=CAP_NET_BIND_SERVICE"} <= {
        *lines(low, "serve.service")
    }
    assert "CapabilityBoundingSet=" in lines(low, "nightly.service")


def test_the_backup_reaches_no_network() -> None:
    """It copies from one folder to another."""
    assert "PrivateNetwork=yes" in lines(SETUP, "backup.service")


def test_a_user_s_own_units_say_nothing_that_only_the_machine_s_manager_may() -> None:
    """They run as that user anyway, and start with the user's own manager."""
    own = units_of(SETUP._replace(account=None))

    assert [] == [name for name, text in own.items() if "User=" in text or "ProtectSystem" in text]
    assert "WantedBy=default.target" in own["torqueaudit-yard-serve.service"]
