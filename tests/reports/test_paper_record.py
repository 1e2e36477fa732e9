"""The record of a job on paper: what it says in which words, that it is kept, and that one book gives one file."""

import json
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from hashlib import sha256
from importlib import resources
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from PIL import Image
from pypdf import PdfReader

from torqueaudit.book.places import photos_of
from torqueaudit.model.act import Say
from torqueaudit.model.shown.owner import Safety
from torqueaudit.model.shown.section import Chart, ExtraSection
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.photo.harmless import Harmless, make_harmless
from torqueaudit.reports.json.job import job_json
from torqueaudit.reports.paper_record import record_pdf
from torqueaudit.testing import Clock, play
from torqueaudit.typesetting import Handed, set_page
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.photos import erase_photo, photograph
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.paper.record import changed_since, paper_of
from torqueaudit.workshop.recheck.owner import owner_view
from torqueaudit.workshop.wrenches.calibrations import calibrate
from torqueaudit.workshop.wrenches.view import show_wrench

from .archive import elements, faults

SIGNED = "The listed work was done to the listed sources. Nothing else was looked at."
OPENED = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
"""
CHECKED = f"{OPENED}2031-04-02 10:09 rear-axle-nut checked mark seen by P-3\n"
RELEASED = f"{CHECKED}2031-04-02 10:15 released by P-1\n"
LEFT = f"{RELEASED}2031-04-02 10:20 handed over at 12010 km by P-1\n"
FETCHED = "2031-04-04 10:20 job 2 handed over at 12021 km with stops: fetched by P-1"
# A process of its own: the file of job 1 as a book gives it at a moment.
PROGRAM = """
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from torqueaudit.reports.paper_record import record_pdf
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.paper.record import paper_of
with open_workshop(Path(sys.argv[1]), clock=lambda: datetime.fromisoformat(sys.argv[2])) as workshop:
    sys.stdout.buffer.write(record_pdf(*paper_of(workshop, "1")))
"""


def paper(workshop: Workshop, job: str = "1") -> bytes:
    return record_pdf(*paper_of(workshop, job))


def said(pdf: bytes) -> str:
    """What a reader sees, with a space for whatever parts its words."""
    with pypdfium2.PdfDocument(pdf) as document:
        return " ".join(" ".join(page.get_textpage().get_text_bounded() for page in document).split())


def closely(text: str) -> str:
    """A text without what parts its words, for a line may end anywhere."""
    return "".join(text.split())


def picture(shade: int) -> Harmless:
    """A photo of 1200 by 900 points, as the workshop keeps it."""
    file = BytesIO()
    Image.new("RGB", (1200, 900), (shade, 120, 90)).save(file, "JPEG")
    return make_harmless(file.getvalue())


def test_one_book_gives_one_file_in_any_process_at_any_time(workshop: Workshop, book_file: Path) -> None:
    """Minutes and years after its last entry, in other zones, with other seeds: the file is the same to the byte."""
    play(workshop, LEFT)
    photograph(workshop, "1", ["rear-axle-nut"], picture(10), "as it was", Say("P-2"))
    workshop.book.close()
    digests = set()
    for moment, zone, seed in (
        ("2031-04-02T10:30:00+00:00", "UTC", "1"),
        ("2033-01-01T00:00:00+00:00", "Asia/Tokyo", "2"),
    ):
        surroundings = {"TZ": zone, "PYTHONHASHSEED": seed, "HOME": str(book_file.parent)}
        words = [sys.executable, "-c", PROGRAM, str(book_file), moment]
        made = subprocess.run(words, capture_output=True, check=True, env=surroundings)
        digests.add(sha256(made.stdout).hexdigest())

    assert 1 == len(digests)


def test_another_entry_gives_another_file(workshop: Workshop) -> None:
    """Of the same document: the first part of its identifier stays (ISO 32000-1, 14.4)."""
    play(workshop, LEFT)
    before = paper(workshop)
    play(workshop, "2031-04-02 11:00 job 2 opened axle on V-2 by P-2")
    after = paper(workshop)
    first, second = (PdfReader(BytesIO(each)).trailer["/ID"] for each in (before, after))

    assert before != after
    assert (True, False) == (first[0] == second[0], first[1] == second[1])  # type: ignore[index]


@pytest.mark.parametrize(
    ("card", "large"),
    [
        (LEFT, "Released"),
        (
            f"{LEFT}2031-04-04 10:00 rear-axle-nut mark disturbed by owner",
            "Do not ride: released, and a stop stands now",
        ),
        (
            f"{CHECKED}2031-04-02 10:20 handed over at 12010 km with stops: towed by P-1",
            "Do not ride: not released, and it left all the same",
        ),
        (f"{LEFT}2031-04-04 10:00 V-1 arrived at 12020 km by P-2", "Released"),
        (
            f"{LEFT}2031-04-04 10:00 job 2 opened final-drive on V-1 at 12020 km by P-2\n{FETCHED}",
            "Do not ride: released, and a stop stands now",
        ),
    ],
)
def test_large_words_tell_who_rides_it_what_the_owners_page_tells(workshop: Workshop, card: str, large: str) -> None:
    """And nobody of a motorcycle that stands in the workshop."""
    play(workshop, card)
    record, owner = paper_of(workshop, "1").record, owner_view(workshop, "1")

    assert large == record.headline
    assert large.startswith("Do not ride") == (owner.away and owner.safety is Safety.DO_NOT_RIDE)
    assert ("stop" == record.weight) == large.startswith("Do not ride")


@pytest.fixture
def everything(workshop: Workshop) -> bytes:
    """A job with a photo, a concession, a strike, a part, a chart, and signs that few fonts have."""
    play(workshop, CHECKED.replace("108 N·m with W-1", "90 N·m with W-1"))
    play(
        workshop,
        """
        2031-04-02 10:10 job 1 conceded outside-tolerance on rear axle nut until 2031-05-01: holds 螺栓, 300 km by P-1
        """,
    )
    photograph(workshop, "1", ["rear-axle-nut"], picture(200), "from the left", Say("P-2"))
    record, photos = paper_of(workshop, "1")
    chart = Chart(
        title="Wear",
        says="It grows.",
        x_name="km",
        y_name="%",
        points=((0, 1), (9, 2)),
        line=((0, 1), (9, 2)),
        band=((0, 0, 2), (9, 1, 3)),
        limit=2.5,
    )
    panel = ExtraSection("Wear", ("It wore.",), columns=("a", "b"), rows=(("1", "2"),), chart=chart)
    return record_pdf(record._replace(job=record.job._replace(panels=(panel,))), photos)


def test_it_is_one_that_is_kept(everything: bytes) -> None:
    """PDF/A-3a: see `archive` for the clauses of ISO 19005-3 and where each one is from."""
    assert [] == faults(everything)


def test_a_page_that_is_set_for_today_is_not_one_that_is_kept() -> None:
    """The check finds what such a page lacks."""
    font = (resources.files("torqueaudit_labels") / "fonts" / "DejaVuSans.ttf").read_bytes()
    style = '<style>@font-face{font-family:Own;src:url("a:font")} body{font-family:Own}</style>'
    page = f'<!doctype html><html lang="en"><title>A</title>{style}<p>Text</html>'

    assert ["6.1.3", "6.2.3", "6.6.4"] == sorted(
        each.partition(":")[0] for each in faults(set_page(page, "a", lambda _: Handed(font, "font/ttf")))
    )


def test_a_picture_has_its_words_for_who_cannot_see_it(everything: bytes) -> None:
    """Symbol, chart and photo; headings and tables are what they look like."""
    root = PdfReader(BytesIO(everything)).root_object
    found = [(str(each["/S"]), each.get("/Alt")) for each in elements(root)]
    alts = sorted(alt for kind, alt in found if kind == "/Figure")

    assert ["Photo of rear", "QR code that o", "Wear: It grows"] == [each[:14].rstrip() for each in alts]
    assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/L", "/LI", "/P"} <= {kind for kind, _ in found}


def test_the_record_lies_in_it_as_the_sheet_gives_it(workshop: Workshop, clock: Clock) -> None:
    """All that `job show --json` prints at that moment, but for what is typed next; its dates are the ledger's."""
    play(workshop, LEFT)
    moment = clock.moment
    clock.set("2031-04-09 12:00")
    reader = PdfReader(BytesIO(paper(workshop)))
    (name,) = reader.attachments
    attached = json.loads(reader.attachments[name][0])
    clock.moment = moment
    shown = job_json(show_job(workshop, "1"), ["torqueaudit"])
    del shown["next_commands"]

    assert ("job-1.json", json.loads(json.dumps(shown))) == (name, attached)
    assert reader.metadata is not None
    assert (datetime(2031, 4, 2, 10, 20, tzinfo=UTC), "Record of job 1, bike-1") == (
        reader.metadata.creation_date,
        reader.metadata.title,
    )


@pytest.mark.parametrize(
    ("card", "large", "is_signed"),
    [
        (OPENED, "NOT RELEASED", False),
        (f"{CHECKED}2031-04-02 10:20 handed over at 12010 km with stops: towed by P-1", "AND IT LEFT ALL", False),
        (LEFT, "RELEASED", True),
        (
            f"{RELEASED}2031-04-02 10:30 rear-axle-nut 108 N·m with W-1 by P-2",
            "RELEASED, AND WORK WAS DONE SINCE THAT NOBODY HAS SIGNED",
            False,
        ),
        (
            f"{LEFT}2031-04-04 10:00 rear-axle-nut mark disturbed by owner",
            "DO NOT RIDE: RELEASED, AND A STOP STANDS NOW",
            True,
        ),
        (f"{OPENED}2031-04-02 10:30 line 1 struck: wrong book by P-1", "WITHDRAWN: DO NOT GO BY THIS RECORD", False),
    ],
)
def test_its_state_stands_in_large_letters(workshop: Workshop, card: str, large: str, *, is_signed: bool) -> None:
    """And above the number of every page; what a release says stands where one signs all that was done."""
    play(workshop, card)
    text = said(paper(workshop))

    assert text.count(large) >= 1
    assert (large == "RELEASED") == ("NOT RELEASED" not in text and "RELEASED," not in text and "WITHDRAWN" not in text)
    assert is_signed == (SIGNED in text)


def test_what_is_undone_or_struck_is_said(workshop: Workshop) -> None:
    """Each in its own place: nothing of it reads as if it stood."""
    play(
        workshop,
        f"""{LEFT}
        2031-04-03 10:00 job 2 opened axle on V-2 by P-2
        2031-04-03 10:05 job 2 rear-axle-nut 108 N·m with W-1 by P-2
        2031-04-03 10:06 job 2 rear-axle-nut mark intact by P-2
        2031-05-02 09:00 V-1 rear-axle-nut reported loosened: tyre changed elsewhere by owner
        """,
    )
    entry = workshop.book.entries("job/2")[-1].sequence
    strike(workshop, "2", entry, "told of the wrong job", Say("P-2"))
    text, other = said(paper(workshop)), said(paper(workshop, "2"))

    assert "UNDONE SINCE – rear axle nut: undone on 2031-05-02, reported" in text
    assert "undone, on 2031-05-02, reported; before that 108 N·m" in text
    assert f"Struck – entry {entry} (mark_seen) struck by P-2: told of the wrong job" in other


def test_what_is_late_is_said(workshop: Workshop) -> None:
    """A re-check by its days at the last entry of the book; what was told late by the rule's own sentence."""
    play(workshop, f"{LEFT}2031-05-02 09:00 job 2 opened axle on V-2 by P-2")
    play(workshop, "2031-05-04 15:00 clock\n2031-05-02 09:05 job 2 rear-axle-nut 108 N·m with W-1 by P-2")
    late = [each.finding.says for each in show_job(workshop, "2").findings if "late" in each.finding.rule]
    text, other = said(paper(workshop)), said(paper(workshop, "2"))

    assert "Re-check. Due by 2031-04-16 or at 12110 km, whichever comes first. Late by 18 days." in text
    assert "Late – the re-check: late by 18 days." in text
    assert late
    assert all(each in other for each in late)


def test_a_concession_says_its_basis_its_limit_and_its_day(everything: bytes) -> None:
    """In the words of the page; a torque that is out is said to be out."""
    text = closely(said(everything))

    told = closely("Conceded by P-1 until 2031-05-01: holds 螺栓; limit: 300 km.")
    spelt = told.translate(
        {ord(sign): f"⟨U+{ord(sign):04X}⟩" for sign in "螺栓"}
    )  # where no font of this system has it

    assert told in text or spelt in text
    assert closely("90.0 N·m ± 4.2 N·m, out by simple acceptance, less than 0.1 % likely inside") in text
    assert closely("A concession is a foreman's written permission") in text


def test_people_are_numbers_and_each_wrench_says_what_it_rested_on(workshop: Workshop) -> None:
    """It goes to the owner: who did it is known to the workshop."""
    play(workshop, LEFT)
    text = said(paper(workshop))
    names = [workshop.book.personal_of(f"person/{each}").get("name", "") for each in ("P-1", "P-2", "P-3")]

    assert [] == [name for name in names if not name or name in text]
    assert "P-2 · 2031-04-02 10:05 · W-1 at 108 N·m" in text
    assert "checked by P-3: mark seen" in text
    assert "W-1 a setting wrench (it clicks), 20 … 200 N·m; used on 2031-04-02: stated when it was entered" in text


def test_a_wrench_that_was_found_out_puts_its_pass_in_doubt(workshop: Workshop, clock: Clock) -> None:
    """By the words of the wrench's own record, with what reached the nut as is known since."""
    play(workshop, f"{LEFT}2031-04-10 08:00 clock")
    out = ("40 N·m: 34 34 34 34 34", "100 N·m: 85 85 85 85 85", "200 N·m: 170 170 170 170 170")
    good = ("40 N·m: 40 40 40 40 40", "100 N·m: 100 100 100 100 100", "200 N·m: 200 200 200 200 200")
    calibrate(workshop, "W-1", Calibrate(clock.moment.date(), "C-1", as_found=out, as_left=good), Say("P-1"))
    text = said(paper(workshop))

    assert "RELEASED, AND A STOP STANDS NOW" in text
    assert "in doubt, rear axle nut:" in text
    assert "corrected; told as 108 N·m" in text


def test_whatever_else_its_wrench_was_used_on_is_not_read(workshop: Workshop) -> None:
    """A wrench does thousands of passes in a year; its own page lists them."""
    play(workshop, LEFT)
    uses = "entry from fastener_events where wrench = 'W-1' and happened_at >="
    on_paper, on_page = (
        sum(uses in each for each in asked(workshop, ask))
        for ask in (lambda: paper_of(workshop, "1"), lambda: show_wrench(workshop, "W-1"))
    )

    assert (0, 1) == (on_paper, on_page)


def asked(workshop: Workshop, ask: Callable[[], object]) -> list[str]:
    """What the book is asked on the way."""
    said: list[str] = []
    connection = workshop.book.engine.connection  # type: ignore[attr-defined]
    connection.set_trace_callback(said.append)
    ask()
    connection.set_trace_callback(None)
    return said


def test_ten_photos_stand_small_with_their_words(workshop: Workshop) -> None:
    """One that was erased says by whom, one that is gone says that it is lost, and no page is lost for them."""
    play(workshop, OPENED)
    for shade in range(10):
        photograph(workshop, "1", ["rear-axle-nut"], picture(20 * shade), f"look {shade}", Say("P-2"))
    taken = paper_of(workshop, "1").record.photos
    erase_photo(workshop, "1", taken[0].shown.view.digest, "a plate was to be read", Say("P-1"))
    lost = taken[1].shown.view.digest
    for file in photos_of(workshop.book.path).glob(f"{lost}*"):
        file.unlink()
    pdf = paper(workshop)
    text = said(pdf)

    assert 8 == sum(str(each["/S"]) == "/Figure" for each in elements(PdfReader(BytesIO(pdf)).root_object)) - 1
    assert "rear axle nut, by P-2 on 2031-04-02 10:06: look 9" in text
    assert "erased on 2031-04-02 by P-1" in text
    assert "look 1; lost: it is not there as it was taken" in text


def test_what_only_the_days_changed_is_told_beside_it(workshop: Workshop, clock: Clock) -> None:
    """The paper keeps to the last entry; whoever makes it hears what has come due since."""
    play(workshop, LEFT)
    record = paper_of(workshop, "1").record
    assert () == changed_since(workshop, record)
    clock.set("2031-05-20 08:00")
    later = paper_of(workshop, "1").record

    assert record == later
    assert ["re-check: due by 2031-04-16 or at 12110 km, whichever comes first – 34 days late"] == [
        each for each in changed_since(workshop, later) if each.startswith("re-check")
    ]


def test_without_a_label_there_is_no_symbol_and_the_record_is_made(workshop: Workshop) -> None:
    """A withdrawn job gets none."""
    play(workshop, f"{OPENED}2031-04-02 10:30 line 1 struck: wrong book by P-1")
    record, _ = paper_of(workshop, "1")

    assert record.label is None
    assert "wrong book" in said(paper(workshop))


def test_every_sentence_of_the_record_stands_on_paper(workshop: Workshop, everything: bytes) -> None:
    """Nothing that was gathered is left out by the page."""
    record: Any = paper_of(workshop, "1").record
    text = closely(said(everything)).lower()
    told = [
        record.headline,
        *record.says,
        *(sentence for each in record.wrong for sentence in (each.title, *each.sentences)),
        *(words for each in record.fasteners for words in (each.names, each.reached, each.judged, each.done)),
        *(source for source, _ in record.sources),
        *(says for each in record.wrenches for says in (each.number, each.says, *each.rested, *each.since)),
        *(words for each in record.measurements for words in (each.name, each.limits, each.said)),
        *(each.name for each in record.steps),
        *record.notes,
        *record.reading,
        *record.job.warnings,
        record.job.book.head,
        record.label.token,
    ]

    assert [] == [each for each in told if closely(each).lower() not in text]


def test_a_torque_that_nobody_judged_says_so(workshop: Workshop) -> None:
    """The source prints no tolerance for the angle, so that nobody can say in or out; a note says why."""
    play(
        workshop,
        """
        2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
        2031-04-02 12:00 caliper-bolt 30 N·m with W-1 then 45° by P-2
        """,
    )
    row = next(each for each in paper_of(workshop, "1").record.fasteners if each.names == "caliper bolt")

    assert ("30.0 N·m ± 1.4 N·m + 45°", "not judged", False) == (row.reached, row.judged, row.is_amiss)


def test_long_words_stay_on_the_page(workshop: Workshop) -> None:
    """A word of two hundred letters is broken, and no sign of it is lost."""
    play(workshop, OPENED)
    entry, long = workshop.book.entries("job/1")[-1].sequence, "x" * 200
    strike(workshop, "1", entry, long, Say("P-2"))
    with pypdfium2.PdfDocument(paper(workshop)) as document:
        page = document[0].get_textpage()
        found = page.get_text_bounded()
        right = max(page.get_charbox(each)[2] for each in range(page.count_chars()))

    assert long in closely(found)
    assert right < 595
