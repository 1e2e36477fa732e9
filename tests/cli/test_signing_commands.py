"""`torqueaudit device`, `person pin` and `person unlock`, and a workshop whose command line asks for the PIN."""

import json
import os
import sqlite3
import stat
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path

import click
import pytest
import zxingcpp
from PIL import Image

from torqueaudit.cli.pin import pin_in
from torqueaudit.model.act import Refused
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.signing.devices import admit
from torqueaudit.workshop.signing.pins import require_pin

if sys.platform != "win32":
    import pty
    import select
    import time

Run = Callable[..., subprocess.CompletedProcess[str]]
SCRIPT = Path(sys.executable).with_name("torqueaudit")
PIN = "314159"


def lines(done: subprocess.CompletedProcess[str]) -> list[str]:
    """What was printed, of a command that did what it was asked."""
    assert 0 == done.returncode, done.stderr
    return done.stdout.splitlines()


@pytest.fixture
def pin_file(tmp_path: Path) -> Path:
    """A PIN in a file that its owner alone may read."""
    file = tmp_path / "pin"
    file.touch(mode=0o600)
    file.write_text(f"{PIN}\n", encoding="ascii")
    return file


def let_in(run: Run, book: Path, name: str) -> str:
    """Let in a device by the address that the command prints; its number."""
    address = json.loads(run("device", "admit", "--name", name, "--by", "P-1", "--json").stdout)["address"]
    with open_workshop(book) as workshop:
        return admit(workshop, address.rpartition("/")[2]).device


def try_wrong(book: Path, device: str, person: str) -> None:
    """Five wrong PINs of somebody on a device."""
    with open_workshop(book) as workshop:
        for _ in range(5):
            with pytest.raises(Refused):
                require_pin(workshop, device, person, "999990")


def test_a_device_is_let_in_by_an_address_that_is_printed(run: Run, book_file: Path) -> None:
    """With the square code in blocks, which a reader of codes reads as that address."""
    says, address, *blocks = lines(run("device", "admit", "--name", "tablet at lift 2", "--by", "P-1"))
    dark = [[sign in half for sign in row] for row in blocks for half in ("▀█", "▄█")]
    picture = Image.new("L", (len(dark[0]), len(dark)), 255)
    picture.putdata([0 if each else 255 for row in dark for each in row])
    (read,) = zxingcpp.read_barcodes(picture.resize((picture.width * 8, picture.height * 8), Image.Resampling.NEAREST))

    assert says.startswith("Open this on tablet at lift 2, before ")
    assert "It lets in one device, once; show it to nobody else." in says
    assert address.strip() == read.text
    with open_workshop(book_file) as workshop:
        assert "D-1" == admit(workshop, read.text.rpartition("/admit/")[2]).device


def test_whoever_invites_a_phone_is_told_that_it_opens_no_address_of_this_machine_alone(run: Run) -> None:
    """Beside the answer; a device in the same network gets an address that it opens."""
    invite = ("device", "admit", "--name", "phone", "--by", "P-1")
    alone = run(*invite)
    run("settings", "change", "--address", "http://192.168.1.20:8080", "--by", "P-1")

    assert (0, True) == (alone.returncode, alone.stderr.startswith("no phone can open localhost; `settings change"))
    assert "" == run(*invite).stderr


def test_the_square_code_is_written_for_its_owner_alone(run: Run, book_file: Path, tmp_path: Path) -> None:
    """Whoever has it is let in; nothing is written over, and nobody is invited by an address that is not shown."""
    png = tmp_path / "code.png"
    told = lines(run("device", "admit", "--name", "phone", "--png", str(png), "--by", "P-1"))
    (read,) = zxingcpp.read_barcodes(Image.open(png))

    assert told[1].strip() == read.text
    assert f"{png}: its square code. Take the file away once the device is let in." == told[2]
    assert os.name == "nt" or 0o600 == stat.S_IMODE(png.stat().st_mode)
    again = run("device", "admit", "--name", "phone", "--png", str(png), "--by", "P-1")
    assert 1 == again.returncode
    assert f"{png} is there already; nothing was written over it" in again.stderr
    with closing(sqlite3.connect(book_file)) as book:
        assert [(1,)] == book.execute("select count(*) from invitations").fetchall()


def test_devices_are_listed_and_withdrawn(run: Run, book_file: Path) -> None:
    """A number is understood as it is typed; a second time is refused."""
    assert ["D-1", "D-2"] == [let_in(run, book_file, name) for name in ("tablet at lift 2", "old phone")]
    withdrawn = ("device", "withdraw", "d2", "--why", "left on a train", "--by", "P-1")
    assert ["D-2: withdrawn; nobody signs on it any more"] == lines(run(*withdrawn))
    try_wrong(book_file, "D-1", "P-3")
    first, second = lines(run("device", "list"))

    assert first.startswith("D-1    tablet at lift 2         let in on ")
    assert first.endswith("LOCKED after wrong PINs: `torqueaudit person unlock D-1`")
    assert "WITHDRAWN on" in second
    assert "was withdrawn on" in run(*withdrawn).stderr
    unknown = run("device", "withdraw", "D-9", "--why", "lost", "--by", "P-1").stderr
    assert "D-9: no device of that number was let in; `torqueaudit device list` shows them" in unknown


def test_somebody_is_unlocked(run: Run, book_file: Path) -> None:
    """Person and device by the same command, and the list of people says who is locked."""
    let_in(run, book_file, "phone")
    try_wrong(book_file, "D-1", "P-3")
    assert "mechanic; LOCKED after wrong PINs" in lines(run("person", "list"))[2]

    assert ["P-3: unlocked"] == lines(run("person", "unlock", "p3", "--by", "P-1"))
    assert ["D-1: unlocked"] == lines(run("person", "unlock", "D-1", "--by", "P-1"))
    assert "P-3 is not locked, so nothing is recorded" in run("person", "unlock", "P-3", "--by", "P-1").stderr
    assert "LOCKED" not in "".join(lines(run("person", "list")) + lines(run("device", "list")))


def test_a_pin_is_set_from_a_file(run: Run, book_file: Path, pin_file: Path) -> None:
    """By a foreman; and it is asked on a device from then on."""
    told = run("person", "pin", "P-2", "--pin-file", str(pin_file), "--by", "P-1")

    assert ["P-2: the PIN is set. Whoever has it signs as P-2: let nobody else see it."] == lines(told)
    with open_workshop(book_file) as workshop:
        require_pin(workshop, "", "P-2", PIN)


@pytest.mark.skipif(os.name == "nt", reason="who may read a file is told otherwise there")
def test_a_file_that_others_may_read_is_refused(run: Run, pin_file: Path) -> None:
    """And so is one that holds no PIN; neither is shown."""
    pin_file.chmod(0o640)
    told = run("person", "pin", "P-2", "--pin-file", str(pin_file), "--by", "P-1")
    assert 2 == told.returncode
    assert f"others may read {pin_file}, which holds a PIN; allow it to its owner alone" in told.stderr
    pin_file.chmod(0o600)
    pin_file.write_text("31415926", encoding="ascii")
    told = run("person", "pin", "P-2", "--pin-file", str(pin_file), "--by", "P-1")

    assert 1 == told.returncode
    assert "a PIN has 6 digits, 0 to 9" in told.stderr
    assert "31415926" not in told.stderr


EXCHANGE = """
import itertools, os, sys
link, *targets = sys.argv[1:]
for target in itertools.cycle(targets):
    os.symlink(target, link + ".next")
    os.replace(link + ".next", link)
"""


@pytest.mark.skipif(os.name == "nt", reason="who may read a file is told otherwise there")
def test_no_file_that_is_put_in_its_place_meanwhile_is_read(tmp_path: Path, pin_file: Path) -> None:
    """The rights that are looked at are those of the file that is read: here it changes all the time."""
    others = tmp_path / "others"
    others.write_text("999990", encoding="ascii")
    link, read = tmp_path / "link", set()
    link.symlink_to(others)
    with subprocess.Popen([sys.executable, "-c", EXCHANGE, str(link), str(pin_file), str(others)]) as program:
        for _ in range(4000):
            with suppress(click.UsageError):
                read.add(pin_in(link))
        program.kill()

    assert read <= {PIN}


def test_where_nobody_can_be_asked_a_sentence_says_so(run: Run) -> None:
    """A script has no keyboard."""
    told = run("person", "pin", "P-2", "--by", "P-1")

    assert 2 == told.returncode
    assert "it is asked for at a terminal; a script gives it in a file that --pin-file names" in told.stderr


def typed(book: Path, *words: str, keys: list[str]) -> str:
    """What a terminal shows of a command while somebody types these lines, each once it is asked for."""
    process, terminal = pty.fork()
    if process == 0:
        os.environ |= {"TORQUEAUDIT_BOOK": str(book), "TERM": "dumb"}
        os.execv(SCRIPT, [str(SCRIPT), *words])  # noqa: S606  # no shell is wanted
    shown, until = "", time.monotonic() + 60
    while time.monotonic() < until:
        if select.select([terminal], [], [], 0.2)[0]:
            try:
                shown += os.read(terminal, 4096).decode()
            except OSError:  # it has ended
                break
        if keys and shown.rstrip(" ").endswith(":"):
            os.write(terminal, f"{keys.pop(0)}\n".encode())
            shown += "\n"
    os.waitpid(process, 0)
    os.close(terminal)
    return shown


@pytest.mark.skipif(os.name == "nt", reason="there is no such terminal")
def test_a_pin_is_asked_for_twice_and_not_shown(book_file: Path) -> None:
    """By the setup where nobody is named; two that differ set nothing."""
    differing = typed(book_file, "person", "pin", "P-2", keys=[PIN, "271828"])
    assert "the two are not the same; nothing was set" in differing
    shown = typed(book_file, "person", "pin", "P-2", keys=[PIN, PIN])

    assert "New PIN of P-2, six digits:" in shown
    assert "P-2: the PIN is set." in shown
    assert PIN not in differing + shown
    with open_workshop(book_file) as workshop:
        assert "setup" == workshop.book.entries("person/P-2")[-1].who
        require_pin(workshop, "", "P-2", PIN)


@pytest.fixture
def asking(run: Run, pin_file: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """A workshop whose command line asks for PINs; the foreman's lies in a file."""
    lines(run("person", "pin", "P-1", "--pin-file", str(pin_file), "--by", "setup"))
    lines(run("settings", "change", "--pin-at-terminal", "--by", "P-1"))
    monkeypatch.setenv("TORQUEAUDIT_PIN_FILE", str(pin_file))
    return run


def test_the_command_line_asks_for_the_pin_where_the_workshop_chose_so(asking: Run, book_file: Path) -> None:
    """The entry says that it was told; a script has it in a file; who has none is refused, as with a wrong one."""
    lines(asking("vehicle", "arrived", "V-1", "--odometer", "12000 km", "--by", "P-1"))
    refused = asking("vehicle", "arrived", "V-2", "--odometer", "12000 km", "--by", "P-2")

    assert 1 == refused.returncode
    assert "this number and this PIN do not belong together" in refused.stderr
    last = lines(asking("ledger", "show", "--from", "1"))[-1]
    assert "vehicle/V-1" in last
    assert last.endswith("(terminal, PIN)")
    with open_workshop(book_file) as workshop:
        assert 1 == len(workshop.book.rows("select * from wrong_pins"))


@pytest.mark.parametrize(
    "words",
    [
        ("ledger", "new-key", "--why", "sold"),
        ("ledger", "erase-words", "#1", "--why", "named somebody"),
        ("person", "forget", "P-3", "--yes"),
        ("person", "pin", "P-3"),
        ("device", "admit", "--name", "phone"),
        ("job", "open", "--vehicle", "V-1", "--procedure", "axle", "--odometer", "1 km"),
    ],
    ids=" ".join,
)
def test_every_act_asks(asking: Run, words: tuple[str, ...]) -> None:
    """Under the number of who has no PIN nothing is done at all."""
    before = lines(asking("ledger", "head"))
    refused = asking(*words, "--by", "P-2")

    assert 1 == refused.returncode
    assert "this number and this PIN do not belong together" in refused.stderr
    assert before == lines(asking("ledger", "head"))


def test_looking_asks_nobody(asking: Run) -> None:
    """Only what is said is signed."""
    for words in (("person", "list"), ("device", "list"), ("settings", "show"), ("ledger", "verify")):
        lines(asking(*words))


def test_it_is_chosen_only_where_a_foreman_has_a_pin(run: Run, pin_file: Path) -> None:
    """Else nobody could say anything any more; and the setup takes it back without one."""
    refused = run("settings", "change", "--pin-at-terminal", "--by", "P-1")
    assert "no foreman has a PIN yet" in refused.stderr
    lines(run("person", "pin", "P-2", "--pin-file", str(pin_file), "--by", "P-1"))
    assert 1 == run("settings", "change", "--pin-at-terminal", "--by", "P-1").returncode
    lines(run("person", "pin", "P-1", "--pin-file", str(pin_file), "--by", "P-1"))
    lines(run("settings", "change", "--pin-at-terminal", "--by", "P-1"))

    lines(run("settings", "change", "--no-pin-at-terminal", "--by", "setup"))
    lines(run("vehicle", "arrived", "V-1", "--odometer", "12000 km", "--by", "P-1"))


@pytest.mark.skipif(os.name == "nt", reason="there is no such terminal")
def test_a_terminal_asks_once_for_each_command(asking: Run, book_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """However many acts it is made of."""
    lines(asking("person", "list"))
    monkeypatch.delenv("TORQUEAUDIT_PIN_FILE")
    shown = typed(book_file, "vehicle", "arrived", "V-1", "--odometer", "12000 km", "--by", "P-1", keys=[PIN])

    assert 1 == shown.count("PIN of P-1:")
    assert PIN not in shown


def test_who_says_that_entries_are_lost_tells_a_pin(asking: Run, book_file: Path, pin_file: Path) -> None:
    """By the backup that is put back; the entry says that it was told, and the answer whose PIN is to be set anew."""
    copy = str(book_file.with_name("copy.book"))
    lines(asking("book", "backup", copy))
    lines(asking("person", "pin", "P-1", "--pin-file", str(pin_file), "--by", "P-1"))
    lost = ("book", "restore", copy, "--shorter", "--why", "the disk broke", "--by")
    refused = asking(*lost, "P-2")
    told = lines(asking(*lost, "P-1"))

    assert (1, True) == (refused.returncode, "this number and this PIN do not belong together" in refused.stderr)
    says = "The backup holds an old PIN of P-1, which is taken away; `torqueaudit person pin P-1` sets a new one."
    assert says == told[2]
    assert lines(asking("ledger", "show", "--from", "1"))[-1].endswith("(terminal, PIN)")
    assert 1 == asking("vehicle", "arrived", "V-1", "--odometer", "12000 km", "--by", "P-1").returncode
    lines(asking("person", "pin", "P-1", "--pin-file", str(pin_file), "--by", "setup"))
    lines(asking("vehicle", "arrived", "V-1", "--odometer", "12000 km", "--by", "P-1"))
