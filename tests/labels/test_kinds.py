"""What each kind of label says, asked of a played workshop through the command."""

import json
import os
import shutil
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from random import Random

import pypdfium2
import pytest
import zxingcpp
from click.testing import CliRunner, Result
from PIL import Image

from torqueaudit.cards.card import Clock, play
from torqueaudit.cli.main import cli
from torqueaudit.model.act import Say
from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.recheck.state import RecheckState, Standing
from torqueaudit.model.register.settings import Settings
from torqueaudit.model.shown.job import FastenerView, FollowedView, JobView
from torqueaudit.model.shown.label import WRENCH, record_address
from torqueaudit.model.shown.recheck import RecheckView
from torqueaudit.model.shown.wrench import WrenchView
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.register.people import add_person, end_person
from torqueaudit.workshop.register.procedures import enter_procedure
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.view import show_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench
from torqueaudit_plugins.qr_labels.kinds import job_label, mark_card, owners_tag, persons_tag, wrench_label

PROCEDURE = Path(__file__).parents[2] / "examples" / "procedures" / "front-wheel.toml"
CARD = """
2031-04-02 09:00 job 1 opened front-wheel on V-1 at 12000 km by P-1
2031-04-02 09:30 front-axle 66 N·m with W-1 by P-1
2031-04-02 09:35 front-axle mark intact by P-1
"""
FOLLOWING = "2031-04-03 07:00 job 2 opened front-wheel on V-1 at 12100 km after job 1 by P-1"
TELEPHONE = "+99 555 01 02 03"
BOX = "\N{BALLOT BOX}"
Run = Callable[..., Result]


@pytest.fixture(scope="module")
def ready_made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workshop with one vehicle, one wrench, and two jobs by one procedure, the second following the first."""
    path, clock = tmp_path_factory.mktemp("kinds") / "yard.book", Clock("2031-04-02 08:00")
    new_workshop(
        path, "YARD", {"zone": "Europe/Vienna", "base_address": "http://yard.local"}, clock=clock, chance=Random(1)
    )
    with open_workshop(path, clock=clock, chance=Random(2)) as workshop:
        add_person(workshop, "Ottoline Sample", ("foreman", "mechanic"), "", Say("setup"))
        settle(workshop, {"telephone": TELEPHONE}, Say("P-1"))
        add_vehicle(workshop, "bike-1", "Kestrel 500", 2029, {}, Say("P-1"))
        add_wrench(workshop, NewWrench("setting", "blue", "20 N·m", "200 N·m"), Say("P-1"))
        enter_procedure(workshop, PROCEDURE, Say("P-1"))
        play(workshop, CARD)
        play(workshop, FOLLOWING)
    return path


@pytest.fixture
def book(ready_made: Path, tmp_path: Path) -> Path:
    """A copy of that workshop's book."""
    return Path(shutil.copy(ready_made, tmp_path / "yard.book"))


@pytest.fixture
def run(book: Path) -> Run:
    """Run a command on the book."""

    def run(*words: str, env: dict[str, str] | None = None) -> Result:
        return CliRunner().invoke(cli, ["--book", str(book), *words], env=env)

    return run


def job(book: Path, number: str = "1") -> JobView:
    """A job as shown on the day after."""
    with open_workshop(book, clock=lambda: datetime(2031, 4, 3, 9, tzinfo=UTC)) as workshop:
        return show_job(workshop, number)


def wrench(book: Path) -> WrenchView:
    """The wrench as shown on that day."""
    with open_workshop(book, clock=lambda: datetime(2031, 4, 3, 9, tzinfo=UTC)) as workshop:
        return show_wrench(workshop, "W-1")


def test_a_job_label_says_vehicle_and_recheck(book: Path) -> None:
    """Before the hand-over the re-check has no day and no distance yet, and leaves lines to write on."""
    content = job_label(job(book), Settings(base_address="http://yard.local/"))
    expected = [("Vehicle", "bike-1", ""), ("Re-check by or at", "", "______ km")]
    actual = [(line.name, line.words, line.also) for line in content.lines]

    assert expected == actual
    assert content.address == f"http://yard.local/r/{job(book).token}"
    assert content.figure == "1"


def test_the_label_of_a_job_that_follows_another_says_which_to_take_off(book: Path) -> None:
    """Before a line to write on: small labels have two lines."""
    following = job(book)._replace(follows=FollowedView("7", (), ()))
    due = following._replace(
        recheck=RecheckView(
            due_on=date(2031, 4, 16),
            due_distance_m=None,
            standing=Standing(RecheckState.NOT_YET_DUE),
            done_on=None,
            done_by="",
            looks=(),
        )
    )
    actual = [[line.name for line in job_label(view, Settings()).lines] for view in (following, due)]

    assert ["Vehicle", "Replaces", "Re-check by or at"] == actual[0]
    assert ["Vehicle", "Re-check by", "Replaces"] == actual[1]


def test_the_label_of_a_job_of_some_fasteners_names_them_and_the_job_that_has_the_rest(
    run: Run, book: Path, tmp_path: Path
) -> None:
    """It takes off no label of that job, whose other fasteners are as they were; nor is that one told to go."""
    with open_workshop(book, clock=Clock("2031-04-03 07:20")) as workshop:
        play(
            workshop,
            "2031-04-03 07:30 job 3 opened front-wheel on V-1 after job 2 only pinch-bolt and front-axle by P-1",
        )
    lines = [(line.name, line.words) for line in job_label(job(book, "3"), Settings()).lines]
    printed = [run("label", each, "--stock", "a4-3x8", "--out", str(tmp_path / f"{each}.pdf")) for each in ("3", "2")]

    assert [
        ("Vehicle", "bike-1"),
        ("Only; the rest: job 2", "front axle, axle pinch bolt 1–2"),
        ("Re-check by or at", ""),
    ] == lines
    assert [0, 0] == [each.exit_code for each in printed]
    assert "remove" not in printed[0].stderr
    assert "job 3" not in printed[1].stdout + printed[1].stderr
    assert "job 3: Only; the rest: job 2 is cut on stock a4-3x8, to “" in printed[0].stderr


def test_a_job_whose_procedure_asks_for_no_recheck_says_nothing_of_it(run: Run, book: Path, tmp_path: Path) -> None:
    """Already before the hand-over: no line on its label, and no owner's tag."""
    with open_workshop(book, clock=Clock("2031-04-03 07:20")) as workshop:
        enter_procedure(workshop, PROCEDURE.with_name("drive-jerks.toml"), Say("P-1"))
        play(workshop, "2031-04-03 07:30 job 3 opened drive-jerks on V-1 at 12100 km by P-1")
    view, out = job(book, "3"), tmp_path / "x.pdf"
    tag = run("label", "3", "--kind", "owner", "--stock", "roll-62x29", "--out", str(out))

    assert (False, True) == (view.recheck_wanted, job(book).recheck_wanted)
    assert ["Vehicle", "Opened"] == [line.name for line in job_label(view, Settings()).lines]
    assert (2, False) == (tag.exit_code, out.exists())
    assert "job 3: the re-check is not asked for by its procedure" in tag.stderr


def test_a_recheck_due_by_distance_is_said(book: Path) -> None:
    """Below the day, or alone: the owner watches both."""
    both = RecheckView(
        due_on=date(2031, 4, 16),
        due_distance_m=12_100_000,
        standing=Standing(RecheckState.NOT_YET_DUE),
        done_on=None,
        done_by="",
        looks=(),
    )
    shown = (both, both._replace(due_on=None), both._replace(due_distance_m=None))
    labels = [job_label(job(book)._replace(recheck=each), Settings()).lines[1] for each in shown]

    assert [
        ("Re-check by or at", "2031-04-16", "12100 km"),
        ("Re-check at", "12100 km", ""),
        ("Re-check by", "2031-04-16", ""),
    ] == [(line.name, line.words, line.also) for line in labels]


def test_capitals_are_a_setting(book: Path) -> None:
    """Lower case by default, as the base address is written; capitals where they are chosen."""
    lower = job_label(job(book), Settings(base_address="http://yard.local")).address
    upper = job_label(job(book), Settings(base_address="http://yard.local", upper_case_labels=True)).address

    assert lower == lower.lower()
    assert upper == lower.upper()


@pytest.mark.parametrize(
    ("base", "expected"),
    [
        ("http://yard.local/shop/", "http://yard.local/shop/w/w-1"),
        ("https://Yard.local/Shop", "https://Yard.local/Shop/w/w-1"),
        ("https://Yard.local/SHOP/", "HTTPS://YARD.LOCAL/SHOP/W/W-1"),
        ("http://yard.local:8080/", "HTTP://YARD.LOCAL:8080/W/W-1"),
    ],
)
def test_capitals_leave_a_path_as_its_server_knows_it(base: str, expected: str) -> None:
    """Paths tell capitals from small letters, schemes and hosts do not (RFC 3986, section 6.2.2.1, from memory)."""
    settings = Settings(base_address=base, upper_case_labels=True)

    assert expected == record_address(settings, WRENCH, "W-1")


def test_an_owners_tag_says_whom_to_call_in_plain_words(book: Path) -> None:
    """The workshop, what the code opens, and without a day yet room to write; with no telephone set as well."""
    told = owners_tag(job(book), Settings(telephone=TELEPHONE))
    untold = owners_tag(job(book), Settings())
    words = {line.name: line.words for line in told.lines}

    assert ("YARD", ("Scan: may I ride?", "When to return?")) == (told.figure, told.under)
    assert words["Telephone"] == TELEPHONE
    assert words["Come back"] == "by __________ or at ______ km."
    assert "bike-1, job 1." in words.values()
    assert {line.name: line.words for line in untold.lines}["Telephone"] == ""


def test_an_owners_tag_says_that_the_first_of_two_counts(book: Path) -> None:
    """A day and a distance, in a sentence of its own."""
    both = RecheckView(
        due_on=date(2031, 4, 16),
        due_distance_m=12_100_000,
        standing=Standing(RecheckState.NOT_YET_DUE),
        done_on=None,
        done_by="",
        looks=(),
    )
    lines = [line[:2] for line in owners_tag(job(book)._replace(recheck=both), Settings()).lines]

    assert [("Come back", "by 2031-04-16 or at 12100 km."), ("", "Whichever comes first.")] == lines[1:3]


def test_a_mark_card_lists_what_carries_paint_in_the_procedures_order(book: Path) -> None:
    """The place among all fasteners, also those without paint; the bolts of a group together."""
    view = job(book)
    order = list(dict.fromkeys(each.name.rstrip(" 0123456789") for each in view.fasteners))
    painted = list(dict.fromkeys(each.name.rstrip(" 0123456789") for each in view.fasteners if each.mark.wanted))
    expected = [f"{order.index(name) + 1} {name}" for name in painted]
    said = [f"{line.name} {line.words}" for line in mark_card(view, Settings()).lines]
    actual = [each.removeprefix(f"{BOX} ").removeprefix("to paint: ").rstrip(" 0123456789–") for each in said]

    assert expected == actual
    assert len(painted) > 1


def test_a_mark_card_says_what_is_still_to_paint(book: Path) -> None:
    """In the headline while nothing is painted, else before each fastener: job 1 has paint on its axle alone."""
    none, some = (mark_card(job(book, number), Settings()) for number in ("2", "1"))
    boxes = [line.words for line in some.lines if line.name.startswith(BOX)]
    others = [line.name for line in some.lines if not line.name.startswith(BOX)]

    assert ("To paint, job 2", "Marks, job 1") == (none.figure, some.figure)
    assert all(line.name.startswith(BOX) for line in none.lines)
    assert ["front axle"] == boxes
    assert ["to paint: 1", "to paint: 3", "to paint: 4"] == others


def marked(fastener: FastenerView, state: MarkState) -> FastenerView:
    """The fastener with its mark in that state."""
    return fastener._replace(mark=fastener.mark._replace(state=state))


def test_a_mark_card_tells_the_bolts_of_a_group_apart(book: Path) -> None:
    """Two of six bolts are painted, one of them no more whole; then no mark is missing, and nothing is added."""
    view = job(book)
    bolts = [each for each in view.fasteners if each.name.startswith("front disc bolt")]
    states = dict(zip((bolt.name for bolt in bolts), (MarkState.INTACT, MarkState.DISTURBED), strict=False))
    some, whole = (
        mark_card(view._replace(fasteners=tuple(marked(f, known.get(f.name, other)) for f in bolts)), Settings())
        for known, other in ((states, MarkState.NOT_MARKED), ({}, MarkState.INTACT))
    )
    expected = [
        (f"{BOX} 1", "front disc bolt 1"),
        ("disturbed: 1", "front disc bolt 2"),
        ("to paint: 1", "front disc bolt 3, 4, 5, 6"),
    ]

    assert expected == [line[:2] for line in some.lines]
    assert ["front disc bolt 1–6"] == [line.words for line in whole.lines]


def test_a_mark_card_names_the_later_job_that_has_a_fastener(book: Path) -> None:
    """Its paint is broken by now, and whether it is tight and marked again that job's card says."""
    with open_workshop(book, clock=Clock("2031-04-03 07:20")) as workshop:
        play(
            workshop,
            """
            2031-04-03 07:40 job 3 opened front-wheel on V-1 at 12100 km by P-1
            2031-04-03 07:50 front-axle loosened: wheel out by P-1
            """,
        )

    assert ("see job 3: 2", "front axle") in [line[:2] for line in mark_card(job(book), Settings()).lines]


def test_a_wrench_label_opens_its_record(book: Path) -> None:
    """Number, end of calibration, and an address that needs no token."""
    content = wrench_label(wrench(book), Settings(base_address="http://yard.local"))

    assert ("http://yard.local/w/w-1", "W-1", "") == (content.address, content.figure, content.token)
    assert content.lines[0].name == "Calibration ends"


def test_a_persons_tag_opens_the_sign_in_page(run: Run, tmp_path: Path) -> None:
    """With the number alone, for whoever finds it: no name stands on it, and the PIN nowhere."""
    out = tmp_path / "tag.pdf"
    content = persons_tag("P-1", Settings(base_address="http://yard.local", upper_case_labels=True))
    printed = run("label", "p1", "--kind", "person", "--stock", "roll-62x29", "--out", str(out))
    with pypdfium2.PdfDocument(out) as pdf:
        [page] = [each.render(scale=4, grayscale=True).to_pil() for each in pdf]

    assert ("HTTP://YARD.LOCAL/SIGN/P-1", "P-1", "") == (content.address, content.figure, content.token)
    assert (0, "") == (printed.exit_code, printed.stderr)
    assert {"http://yard.local/sign/p-1"} == {each.text for each in zxingcpp.read_barcodes(page)}
    assert b"Ottoline" not in out.read_bytes()


def test_nobody_who_does_not_work_here_gets_a_tag(run: Run, book: Path, tmp_path: Path) -> None:
    """A number that nobody has, and one whose person has left."""
    with open_workshop(book, clock=Clock("2031-04-03 09:00")) as workshop:
        gone = add_person(workshop, "Basto Quill", ("mechanic",), "", Say("P-1"))
        end_person(workshop, gone, None, "", Say("P-1"))
    words = ("--kind", "person", "--stock", "roll-62x29", "--out", str(tmp_path / "x.png"))

    for number in (gone, "P-77"):
        assert f"{number}: nobody of that number works here" in run("label", number, *words).stderr
    assert not (tmp_path / "x.png").exists()


def test_a_job_that_replaces_another_asks_for_its_labels(run: Run, tmp_path: Path) -> None:
    """On the error output for who prints, and on the label for who holds two."""
    result = run("label", "2", "--stock", "roll-62x29", "--out", str(tmp_path / "two.png"))
    first = run("label", "1", "--stock", "roll-62x29", "--out", str(tmp_path / "one.png"))

    assert "job 2 replaces job 1 on bike-1: remove the old labels of job 1." in result.stderr
    assert first.stderr == "job 1 was followed by job 2, whose label belongs on bike-1 now.\n"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("1", "--kind", "owner", "--stock", "roll-25x25"), "owner: this label fits a4-2x7"),
        (
            ("1", "--kind", "gift", "--stock", "roll-62x29"),
            "gift: no such kind of label; there are job, marks, owner, person, wrench",
        ),
        (("W-9", "--kind", "wrench", "--stock", "roll-62x29"), "W-9: no such wrench"),
        (("1", "2"), "Missing option '--stock'"),
        (("1", "--stock", "roll-62x29", "--shift", "1"), "write how far to the right and down in millimetres"),
        (("1", "--stock", "roll-62x29", "--shift", "5,0"), "shift by -1 to 1 mm"),
        (("1", "--stock", "roll-62x29", "--from", "2"), "--from is for a sheet that is partly used, and roll-62x29 is"),
        (("1", "--stock", "a4-3x8", "--from", "25"), "stock a4-3x8 has positions 1 to 24; there is no position 25"),
    ],
)
def test_what_cannot_be_printed_is_told(run: Run, tmp_path: Path, words: tuple[str, ...], says: str) -> None:
    """One sentence, and no file."""
    out = tmp_path / "x.pdf"
    result = run("label", *words, "--out", str(out))

    assert says in result.stderr + str(result.exception or "")
    assert result.exit_code
    assert not out.exists()


def test_every_kind_is_printed_and_read(run: Run, tmp_path: Path) -> None:
    """On a roll, as PNG; `scan` names the record, as the list of jobs does."""
    listed = [each["job"] for each in json.loads(run("job", "list", "--json").stdout)]
    for kind, number, record in (("job", "2", 2), ("owner", "1", 1), ("marks", "1", 1), ("wrench", "W-1", "W-1")):
        out = tmp_path / f"{kind}.png"
        printed = run("label", number, "--kind", kind, "--stock", "roll-62x29", "--out", str(out))
        scanned = json.loads(run("scan", str(out), "--json").stdout)

        assert printed.exit_code == 0
        assert (record, 1.0) == (scanned["record"], scanned["unused_error_correction"])
        assert record in listed or kind == "wrench"


def test_whoever_prints_is_told_what_a_label_does_not_say(book: Path) -> None:
    """Stops and a past re-check behind an owner's tag, and a wrench that is out of calibration."""
    view = job(book)
    late = RecheckView(
        due_on=date(2031, 4, 16),
        due_distance_m=None,
        standing=Standing(RecheckState.MISSED, days=3),
        done_on=None,
        done_by="",
        looks=(),
    )
    out = wrench(book)._replace(state="out of calibration", why="calibrated until 2031-01-01")

    assert view.stops
    assert [f"job 1: {len(view.told_stops)} stops stand, of which the owner's tag says nothing."] == [
        *owners_tag(view, Settings()).remarks
    ]
    assert "its re-check was missed" in owners_tag(view._replace(recheck=late), Settings()).remarks[-1]
    assert wrench_label(out, Settings()).remarks == ("wrench W-1 is out of calibration (calibrated until 2031-01-01).",)
    assert wrench_label(out._replace(state="in use"), Settings()).remarks == ()


def test_a_remark_is_said_when_the_label_is_printed(run: Run, tmp_path: Path) -> None:
    """On the error output, with the labels made all the same."""
    result = run("label", "1", "--kind", "owner", "--stock", "roll-62x29", "--out", str(tmp_path / "x.png"))

    assert (0, True) == (result.exit_code, "of which the owner's tag says nothing" in result.stderr)


def test_a_label_that_has_outlived_its_job_is_told(run: Run, book: Path, tmp_path: Path) -> None:
    """Its record opens, and whoever scans it hears that it is to come off."""
    first, second = tmp_path / "one.png", tmp_path / "two.png"
    for number, out in (("1", first), ("2", second)):
        run("label", number, "--stock", "roll-57x32", "--out", str(out))
    old, new = run("scan", str(first)), run("scan", str(second))
    with open_workshop(book, clock=Clock("2031-04-04 08:00")) as workshop:
        strike(workshop, "2", workshop.record("2").opened.entry, "wrong vehicle", Say("P-1"))
    withdrawn = run("scan", str(second))

    assert "job 1 was followed by job 2: take its label off" in old.stderr
    assert "The symbol is good: 100% of its error correction is unused. If the label has two" in new.stdout
    assert new.stderr == ""
    assert "job 2 was withdrawn (wrong vehicle): take its label off" in withdrawn.stderr


def test_two_symbols_that_are_both_read_are_said(run: Run, tmp_path: Path) -> None:
    """A label is called good when the photo shows all of it."""
    out = tmp_path / "one.png"
    run("label", "2", "--stock", "a4-2x7", "--out", str(out))
    scanned = json.loads(run("scan", str(out), "--json").stdout)

    assert (2, False, False) == (scanned["symbols_read"], scanned["copy_lost"], scanned["print_new_label"])
    assert "The label is good: both symbols are read" in run("scan", str(out)).stdout


def test_a_symbol_alone_needs_no_stock(run: Run, tmp_path: Path) -> None:
    """As SVG; two of them are refused."""
    alone = run("label", "1", "--out", str(tmp_path / "one.svg"))
    both = run("label", "1", "2", "--out", str(tmp_path / "two.svg"))

    assert "the symbol of job 1, read back" in alone.stdout
    assert (tmp_path / "one.svg").read_text(encoding="utf-8").startswith("<svg ")
    assert "a .svg holds one symbol and these are 2" in both.stderr


def spooler(folder: Path, text: str) -> dict[str, str]:
    """A PATH whose `lp` is this script."""
    folder.mkdir()
    (folder / "lp").write_text(f"#!/bin/sh\n{text}\n", encoding="utf-8")
    (folder / "lp").chmod(0o755)
    return {"PATH": f"{folder}{os.pathsep}{os.environ['PATH']}"}


def test_labels_go_to_the_spooler_word_by_word(run: Run, tmp_path: Path) -> None:
    """No shell: a printer's name with a semicolon stays one word. The PDF comes by the input."""
    env = spooler(
        tmp_path / "bin", f'printf "%s\\n" "$@" > {tmp_path}/words; cat > {tmp_path}/in.pdf; echo "request id is 7"'
    )
    words = (
        "--stock",
        "roll-62x29",
        "--printer",
        "bench; rm",
        "--option",
        "media=Custom.62x29mm",
        "--option",
        "copies=2",
    )
    result = run("label", "1", *words, env=env)
    expected = ["-d", "bench; rm", "-t", "Labels for job 1", "-o", "media=Custom.62x29mm", "-o", "copies=2"]

    assert expected == (tmp_path / "words").read_text(encoding="utf-8").splitlines()
    assert (tmp_path / "in.pdf").read_bytes().startswith(b"%PDF")
    assert result.stdout.startswith("request id is 7: 1 label on thermal roll")


def test_a_long_run_goes_to_the_spooler_in_its_order(run: Run, tmp_path: Path) -> None:
    """170 labels of a roll are two prints; when the second is not taken, what was printed is told."""
    words = ("label", *["1"] * 170, "--stock", "roll-50x30", "--printer", "bench")
    taking = spooler(
        tmp_path / "bin", f'cat > /dev/null; echo "$4" | tail -c 9 >> {tmp_path}/titles; echo "request id"'
    )
    first_only = f'cat > /dev/null; test -e {tmp_path}/one && exit 1; touch {tmp_path}/one; echo "request id is 1"'
    refusing = spooler(tmp_path / "other", first_only)

    assert run(*words, env=taking).stdout.startswith("request id; request id: 170 labels")
    assert "(1 of 2)\n(2 of 2)\n" == (tmp_path / "titles").read_text(encoding="utf-8")
    assert "Taken before it: request id is 1." in run(*words, env=refusing).stderr


def test_a_spooler_that_refuses_or_is_not_there_is_told(run: Run, tmp_path: Path) -> None:
    """In the spooler's own words, or with what to install."""
    refusing = spooler(tmp_path / "bin", 'echo "lp: The printer or class does not exist." >&2; exit 1')
    words = ("label", "1", "--stock", "roll-62x29", "--printer", "bench")

    assert (
        "printer bench did not take “Labels for job 1”: lp: The printer or class does not exist."
        in run(*words, env=refusing).stderr
    )
    assert "there is no `lp` on this machine" in run(*words, env={"PATH": str(tmp_path)}).stderr


def test_a_long_run_says_how_far_it_is(run: Run, tmp_path: Path) -> None:
    """More than a sheet of 14."""
    numbers = ["1", "2"] * 8
    result = run("label", *numbers, "--stock", "a4-2x7", "--out", str(tmp_path / "many.pdf"))

    assert "reading back 14 of 16 labels" in result.stderr
    assert "reading back 16 of 16 labels" in result.stderr
    assert "16 labels on A4 sheet" in result.stdout


def test_a_shifted_label_is_shifted(run: Run, tmp_path: Path) -> None:
    """By 0.5 mm, 6 dots at 300 dpi."""
    places = []
    for name, more in (("plain", ()), ("moved", ("--shift", "0.5,0.5"))):
        run("label", "1", "--stock", "roll-62x29", "--out", str(tmp_path / f"{name}.png"), *more)
        found = zxingcpp.read_barcodes(Image.open(tmp_path / f"{name}.png").convert("L"))
        places.append(sorted((each.position.top_left.x, each.position.top_left.y) for each in found))

    assert [(x + 6, y + 6) for x, y in places[0]] == places[1]
    assert len(places[0]) == 2


def test_the_kinds_are_listed(run: Run) -> None:
    """One line each."""
    lines = run("label", "kinds").stdout.splitlines()

    assert [line.split()[0] for line in lines] == ["job", "owner", "marks", "wrench", "person"]


def scanned(run: Run, tmp_path: Path, address: str) -> Result:
    """What `scan` says of a symbol."""
    code = zxingcpp.create_barcode(address, zxingcpp.BarcodeFormat.QRCode, ec_level="H")
    Image.fromarray(code.to_image(scale=8, add_quiet_zones=True)).save(tmp_path / "photo.png")
    return run("scan", str(tmp_path / "photo.png"))


def test_a_label_of_another_address_is_told(run: Run, book: Path, tmp_path: Path) -> None:
    """A token cannot be there twice by chance, so its record is shown; a wrench's number can, so it is refused."""
    with open_workshop(book) as workshop:
        token = show_job(workshop, "1").token
    job, wrench = (scanned(run, tmp_path, f"http://other.example/{way}") for way in (f"r/{token}", "w/w-1"))
    own = scanned(run, tmp_path, "http://yard.local/w/w-1")

    assert (0, 1, 0) == (job.exit_code, wrench.exit_code, own.exit_code)
    assert "another address (http://other.example/r/" in job.stderr
    assert "job 1" in job.stdout
    assert "another address (http://other.example/w/w-1)" in wrench.stderr
    assert own.stderr == ""


def test_a_persons_tag_is_read_and_one_of_another_workshop_is_not(run: Run, tmp_path: Path) -> None:
    """Its number, where somebody has it; in another workshop somebody else does."""
    told = [scanned(run, tmp_path, f"http://{way}") for way in ("yard.local/sign/p-1", "other.example/sign/p-1")]
    nobodys = scanned(run, tmp_path, "http://yard.local/sign/p-99")

    assert "person P-1 (http://yard.local/sign/p-1)" in told[0].stdout
    assert "whoever has this number in another workshop is somebody else" in told[1].stderr
    assert "holds no record under it" in nobodys.stderr


@pytest.mark.parametrize(("number", "kind"), [("W-1", "wrench"), ("p1", "person")])
def test_a_number_of_no_job_asks_for_its_kind(run: Run, tmp_path: Path, number: str, kind: str) -> None:
    """Without --kind."""
    result = run("label", number, "--stock", "roll-62x29", "--out", str(tmp_path / "x.png"))

    assert (2, True) == (result.exit_code, f"--kind {kind}" in result.stderr)


@pytest.mark.parametrize("address", ["http://localhost:8080", "http://127.0.0.1:8080"])
def test_an_address_of_this_machine_alone_is_told_once(run: Run, book: Path, tmp_path: Path, address: str) -> None:
    """The labels are printed all the same; so is a tag without a telephone."""
    with open_workshop(book) as workshop:
        settle(workshop, {"base_address": address, "telephone": ""}, Say("P-1"))
    out = tmp_path / "x.pdf"
    result = run("label", "1", "--kind", "owner", "--stock", "roll-62x29", "--out", str(out))

    assert (0, 1) == (result.exit_code, result.stderr.count("no phone can open"))
    assert "settings change --telephone" in result.stderr
    assert out.exists()


@pytest.mark.parametrize(
    ("labels", "own", "lost"),
    [
        ("http://localhost:8080", "", {"job", "wrench"}),
        ("https://labels.example", "http://localhost:8080", {"wrench"}),
        ("http://[::1]", "http://yard.local", {"job"}),
    ],
)
def test_each_label_is_told_of_its_own_address(
    run: Run, book: Path, tmp_path: Path, labels: str, own: str, lost: set[str]
) -> None:
    """A job's label opens that of the labels, a wrench's that of the workshop's own pages."""
    with open_workshop(book) as workshop:
        settle(workshop, {"base_address": labels, "workshop_address": own}, Say("P-1"))
    out = str(tmp_path / "x.pdf")
    told = {
        kind: run("label", number, "--kind", kind, "--stock", "a4-3x8", "--out", out).stderr
        for number, kind in (("1", "job"), ("W-1", "wrench"))
    }

    assert lost == {kind for kind, says in told.items() if "no phone can open" in says}
