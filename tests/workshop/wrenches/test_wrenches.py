"""Wrenches entered, calibrated, checked, dropped: what is refused, what is recorded, what is shown."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from torqueaudit.book.errors import BookError
from torqueaudit.ledger.entry import document_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.torque.words import torque_text
from torqueaudit.model.wrench.acts import Calibrate, CheckWrench, NewWrench, WrenchChange
from torqueaudit.testing import play
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.wrenches.calibrations import calibrate, check_wrench
from torqueaudit.workshop.wrenches.corrections import change_wrench
from torqueaudit.workshop.wrenches.view import show_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench, estimate_use, mishandle, withdraw_wrench

FOREMAN, MECHANIC, TRAINEE = Say("P-1"), Say("P-2"), Say("P-4")
ON = date(2031, 3, 1)
FOUND = "100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %; W' 3.7 %"
OUT = "100 N·m: 95 95 95 95 95"


def calibrated(workshop: Workshop, number: str = "W-1", on: date = ON, **words: Any) -> Any:
    """Calibrated by the foreman, with a certificate."""
    return calibrate(workshop, number, Calibrate(on, **{"certificate": "C-1", **words}), FOREMAN)


def used(workshop: Workshop, *lines: str) -> None:
    """Job 1 opened, with these lines of its card."""
    play(workshop, "\n".join(("2031-03-20 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2", *lines)))


def test_a_wrench_is_entered_with_everything_known_of_it(workshop: Workshop) -> None:
    """Scale divisions in their own units; the first is the main one."""
    new = NewWrench(
        "setting",
        "long",
        "40 N·m",
        "200 N·m",
        scales=("1 N·m", "1 lbf·ft"),
        direction="right",
        owner="the yard next door",
    )
    view = show_wrench(workshop, add_wrench(workshop, new, FOREMAN))

    assert ("W-4", "long", "right", "the yard next door") == (view.number, view.tag, view.direction, view.owner)
    assert [("N·m", Decimal(1)), ("lbf·ft", Decimal(1))] == [(s.unit, s.division) for s in view.scales]
    assert Decimal("1.3558179483314004") == view.scales[1].unit_nm
    assert ("not shown to be in calibration", None) == (view.state, view.due_on)


@pytest.mark.parametrize(
    ("new", "says"),
    [
        (NewWrench("clicking", "x"), "clicking: a wrench is setting"),
        (NewWrench("setting", " "), "a wrench has a tag"),
        (NewWrench("setting", "x", "20 N·m"), "give both, the lower first"),
        (NewWrench("setting", "x", "20 N·m", "10 N·m"), "give both, the lower first"),
        (NewWrench("setting", "x", "20", "200"), "has no unit"),
        (NewWrench("setting", "x", construction="wooden"), "wooden: the construction is"),
        (NewWrench("setting", "x", direction="up"), "up: a wrench measures to the"),
        (NewWrench("setting", "x", scales=("half",)), "does not begin with a number"),
        (NewWrench("setting", "x", scales=("1 N·m", "0.5 Nm")), "two scales of one wrench in the same unit"),
        (NewWrench("setting", "x", "2 N·m", "20 N·m", scales=("20 N·m",)), "is as wide as the whole scale"),
    ],
)
def test_a_wrench_that_cannot_be_is_refused(workshop: Workshop, new: NewWrench, says: str) -> None:
    """One sentence, and nothing is recorded."""
    before = workshop.book.head()

    with pytest.raises(Refused, match=says):
        add_wrench(workshop, new, FOREMAN)
    assert before == workshop.book.head()


def test_a_calibration_is_in_force_from_its_day(workshop: Workshop) -> None:
    """Points in N·m, due a year on, with every figure the certificate states."""
    looked = calibrated(workshop, laboratory="Invented Lab", decision_rule="simple acceptance", as_found=(FOUND,))
    view = show_wrench(workshop, "W-1")
    done = view.calibration

    assert (True, date(2032, 3, 1), "", "") == (looked.passed, looked.due_on, looked.withdrawn, looked.found_out)
    assert ("in use", "calibrated on 2031-03-01, valid until 2032-03-01") == (view.state, view.why)
    assert done is not None
    assert ("C-1", "Invented Lab", "simple acceptance") == (done.certificate, done.laboratory, done.decision_rule)
    assert [(Decimal(100), Decimal("2.209507"), Decimal("1.4"), Decimal("3.7"))] == [
        (p.shown_nm, p.deviation_percent, p.expanded_percent, p.interval_percent) for p in done.as_found
    ]


@pytest.mark.parametrize(("printed", "due"), [("2031-09-01", "2031-09-01"), ("2033-03-01", "2032-03-01")])
def test_the_earlier_of_the_printed_day_and_the_interval_counts(workshop: Workshop, printed: str, due: str) -> None:
    """A laboratory may say less than the workshop's interval, not more."""
    assert date.fromisoformat(due) == calibrated(workshop, due_on=date.fromisoformat(printed)).due_on


def test_the_workshop_may_choose_a_shorter_interval(workshop: Workshop) -> None:
    """Six months instead of twelve."""
    settle(workshop, {"calibration_months": 6}, FOREMAN)

    assert date(2031, 9, 1) == calibrated(workshop).due_on


def test_references_stand_in_the_unit_of_the_setting(workshop: Workshop) -> None:
    """80 lbf·ft set, 78.9 lbf·ft read; with comma and with the sign for W′ that a typesetter uses."""
    calibrated(workshop, as_found=("80 lbf·ft: 78,9 79; W′ = 3,7 %",))
    done = show_wrench(workshop, "W-1").calibration
    point = done.as_found[0] if done else None

    assert point is not None
    assert "108.5 N·m" == torque_text(point.shown_nm)
    assert ["107 N·m", "107.1 N·m"] == [torque_text(nm) for nm in point.references_nm]
    assert Decimal("3.7") == point.interval_percent


@pytest.mark.parametrize(
    ("points", "says"),
    [
        (("100 N·m",), "write a point as"),
        (("100 N·m:",), "no readings of the reference"),
        (("100: 98",), "has no unit"),
        (("100 N·m: 98 x",), '"x" is not a plain number'),
        (("100 N·m: 0",), "a reading of the reference is above zero, not 0"),
        (("100 N·m: -98",), "is above zero, not -98"),
        (("0 N·m: 98",), "must be above zero"),
        (("100 N·m: 98", "40 N·m: 40"), "“40 N·m: 40” does not lie above the point before it"),
        (("100 N·m: 98", "100 Nm: 98"), "give each point once"),
        ((f"100 N·m: {' '.join(['99'] * 31)}",), "31 readings at 100 N·m; give at most 30"),
        (("10 N·m: 10",), "lies outside wrench W-1, which reaches 20 … 200 N·m"),
        (("201 N·m: 201",), "lies outside wrench W-1"),
        (("100 N·m: 98; W 51 %",), "W lies between 0 and 50 %, not at 51 %"),
        (("100 N·m: 98; W -1 %",), "W lies between 0 and 50 %"),
        (("100 N·m: 98; U 3 %",), "“U 3 %” is not known"),
        (("100 N·m: 98; W 1.4 N·m",), "W is stated in %, not as “W 1.4 N·m”; write it like W 1.4 %"),
        (("100 N·m: 98; W' 3.7",), "W' is stated in %, not as “W' 3.7”"),
        (("100 N·m: 98; W 0 %",), "no calibration is without uncertainty"),
        (("100 N·m: 97; W' 3 %",), "W′ holds the mean deviation of its own readings, \\+3.093 %, and must be more"),
        (
            ("100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %; W' 2.3 %",),
            r"make a deviation of \+2.21 %, which with W 1.4 % makes a W′ of 3.61 % at least, not 2.3 %; read the cert",
        ),
        (
            ("100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %; W' 4.2 %; b_ep 0.1 %",),
            r"with W 1.4 % and b_ep 0.1 % makes a W′ of 3.71 %, not 4.2 %",
        ),
        (("100 N·m: 72.3",), ""),
        (("100 N·m: 9.8",), "is the unit right on both sides"),
        (("100 N·m: 9800",), "is the unit right on both sides"),
        (tuple(f"{n} N·m: {n}" for n in range(20, 50)), "give at most 20"),
    ],
)
def test_points_that_cannot_be_are_refused(workshop: Workshop, points: tuple[str, ...], says: str) -> None:
    """A reading far off is a finding of the laboratory; one beyond half of the setting is a slip of the unit."""
    before = workshop.book.head()
    if not says:
        assert not calibrated(workshop, as_found=points).passed
        return

    with pytest.raises(Refused, match=says):
        calibrated(workshop, as_found=points)
    assert before == workshop.book.head()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({"on": date(2031, 4, 3)}, "has not come yet"),
        ({"due_on": date(2031, 2, 28)}, "is not due before it was done"),
        ({"certificate": ""}, "nothing shows this calibration"),
        ({"adapters": (Fitted("adapter", {"length_mm": "long", "angle_deg": "0"}),)}, "the adapter's length_mm"),
        ({"number": "W-9"}, "no such wrench"),
        ({"number": "9"}, "no such wrench"),
    ],
)
def test_calibrations_that_cannot_be_are_refused(workshop: Workshop, words: dict[str, Any], says: str) -> None:
    """The clock shows 2031-04-02."""
    with pytest.raises(Refused, match=says):
        calibrated(workshop, **words)


def test_only_a_foreman_records_calibrations_and_estimates(workshop: Workshop) -> None:
    """P-2 is a mechanic."""
    with pytest.raises(Refused, match="only a foreman may do this"):
        calibrate(workshop, "W-1", Calibrate(ON, "C-1"), MECHANIC)
    with pytest.raises(Refused, match="only a foreman may do this"):
        estimate_use(workshop, "W-1", 10, "lent out", ON, MECHANIC)


def test_a_calibration_sent_twice_is_recorded_once(workshop: Workshop) -> None:
    """The same id with the same words; the answer is the same."""
    told, say = Calibrate(ON, "C-1", as_found=(FOUND,)), Say("P-1", id="scan-1")
    first = calibrate(workshop, "W-1", told, say)
    head = workshop.book.head()

    assert first == calibrate(workshop, "W-1", told, say)
    assert head == workshop.book.head()


@pytest.mark.parametrize(
    ("words", "remarks"),
    [
        ({}, ["no figures are stated, so its permissible deviation of ±4 % is taken for everything it did"]),
        (
            {"as_left": (FOUND,)},
            ["not stated as found, so nothing is known of what it did before", "no point at 20 N·m"],
        ),
        (
            {"as_found": ("100 N·m: 98 98",)},
            [
                "no uncertainty (W or W′) is stated for every point",
                "fewer than 5 readings at 100 N·m",
                "no point at 20",
            ],
        ),
        (
            {"as_found": tuple(f"{n} N·m: {' '.join([str(n)] * 5)}; W 1 %" for n in (20, 120, 200))},
            [],
        ),
        ({"on": date(2029, 3, 1)}, ["it has ended on 2030-03-01, so the wrench is out", "no figures are stated"]),
    ],
    ids=["no figures", "only as left", "little", "as ISO 6789", "over"],
)
def test_what_a_certificate_lacks_is_remarked_not_refused(
    workshop: Workshop, words: dict[str, Any], remarks: list[str]
) -> None:
    """Five readings at the lowest value, 60 % and 100 % are what ISO 6789 takes (from memory)."""
    *actual, last = calibrated(workshop, **words).remarks

    assert "not stated to which side it was calibrated, so it proves nothing of a left-hand thread" == last
    assert len(remarks) == len(actual)
    assert all(said.startswith(begin) for said, begin in zip(actual, remarks, strict=True))


def test_a_failed_calibration_leaves_the_wrench_withdrawn(workshop: Workshop) -> None:
    """And says where and by how much; adjusted, the next one brings it back."""
    why = "outside its permissible deviation at its calibration on 2031-03-01 (+5.263 % at 100 N·m)"
    failed = calibrated(workshop, as_found=(OUT,))
    state = show_wrench(workshop, "W-1")
    back = calibrated(workshop, on=date(2031, 3, 9), as_found=(OUT,), as_left=("100 N·m: 100",))

    assert (False, why) == (failed.passed, failed.withdrawn)
    assert ("withdrawn", why) == (state.state, state.why)
    assert (True, "", "+5.263 % at 100 N·m") == (back.passed, back.withdrawn, back.found_out)
    assert "in use" == show_wrench(workshop, "W-1").state


def test_one_that_fails_as_left_fails(workshop: Workshop) -> None:
    """However it was found."""
    assert not calibrated(workshop, as_found=(FOUND,), as_left=(OUT,)).passed


@pytest.mark.parametrize("what", ["dropped", "overloaded"])
def test_a_mishap_withdraws_until_a_calibration(workshop: Workshop, what: str) -> None:
    """A trainee may say so: better told than hidden. What is refused is using it."""
    mishandle(workshop, "W-1", what, "from the bench", TRAINEE)
    told = show_wrench(workshop, "W-1").why
    with pytest.raises(Refused, match=f"wrench W-1 is withdrawn \\({what} on 2031-04-02: from the bench\\)"):
        used(workshop, "2031-04-02 10:05 disc-bolt 22 N·m with W-1 by P-2")
    earlier = calibrated(workshop).withdrawn
    calibrated(workshop, on=date(2031, 4, 2))

    assert f"{what} on 2031-04-02: from the bench" == told == earlier
    assert "in use" == show_wrench(workshop, "W-1").state


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (lambda w: mishandle(w, "W-1", "lost", "x", MECHANIC), "lost: a wrench was dropped or overloaded"),
        (lambda w: mishandle(w, "W-1", "dropped", " ", MECHANIC), "W-1: say how it was dropped"),
        (lambda w: mishandle(w, "W-9", "dropped", "x", MECHANIC), "no such wrench"),
        (lambda w: withdraw_wrench(w, "W-1", "", FOREMAN), "say why it is withdrawn"),
        (lambda w: estimate_use(w, "W-1", 0, "x", ON, FOREMAN), "estimate between 1 and 1000000"),
        (lambda w: estimate_use(w, "W-1", 9, "", ON, FOREMAN), "what the estimate rests on"),
        (lambda w: estimate_use(w, "W-1", 9, "x", date(2032, 1, 1), FOREMAN), "has not come yet"),
        (lambda w: check_wrench(w, "W-1", CheckWrench("", (FOUND,)), FOREMAN), "on which tester"),
        (lambda w: check_wrench(w, "W-1", CheckWrench("bench", ()), FOREMAN), "at least one point"),
        (lambda w: check_wrench(w, "W-1", CheckWrench("bench", ("100 N·m: 0",)), FOREMAN), "above zero"),
        (lambda w: show_wrench(w, "W-9"), "W-9: no such wrench"),
        (lambda w: settle(w, {"guard_factor": "5"}, FOREMAN), "a guard factor is 0"),
        (lambda w: settle(w, {"own_tolerance_percent": "wide"}, FOREMAN), "is not a plain number"),
    ],
)
def test_what_is_refused_of_wrenches(workshop: Workshop, act: Callable[[Workshop], object], says: str) -> None:
    """One sentence, nothing recorded."""
    before = workshop.book.head()

    with pytest.raises(Refused, match=says):
        act(workshop)
    assert before == workshop.book.head()


def test_an_interim_check_that_fails_withdraws_and_one_that_passes_moves_no_due_date(workshop: Workshop) -> None:
    """Two readings are enough here, with a remark."""
    passed = check_wrench(workshop, "W-1", CheckWrench("bench tester", ("100 N·m: 99 99",)), MECHANIC)
    failed = check_wrench(workshop, "W-2", CheckWrench("bench tester", ("100 N·m: 107",)), MECHANIC)

    assert (True, "", date(2032, 3, 31)) == (passed.passed, passed.withdrawn, passed.due_on)
    assert ("fewer than 5 readings at 100 N·m; ISO 6789 takes 5 at each point",) == passed.remarks
    assert (False, "-6.542 % at 100 N·m") == (failed.passed, failed.found_out)
    assert "withdrawn" == show_wrench(workshop, "W-2").state


def test_cycles_are_the_books_and_the_foremans_estimate_since_the_calibration(workshop: Workshop) -> None:
    """Each pass counts, of every stage and every bolt; what lies before the calibration does not."""
    used(
        workshop,
        "2031-03-20 10:05 sprocket-bolt stage 1 15 N·m with W-1 by P-2",
        "2031-03-20 10:10 disc-bolt 22 N·m with W-1 by P-2",
    )
    estimate_use(workshop, "W-1", 300, "lent out in spring", date(2031, 3, 10), FOREMAN)
    before = show_wrench(workshop, "W-1")
    calibrated(workshop, on=date(2031, 3, 15))
    estimate_use(workshop, "W-1", 40, "car work", date(2031, 3, 15), FOREMAN)

    assert (306, 5000) == (before.cycles, before.cycles_allowed)
    assert 46 == show_wrench(workshop, "W-1").cycles


def test_a_worn_wrench_is_out_of_calibration(workshop: Workshop) -> None:
    """By cycles, before its day."""
    estimate_use(workshop, "W-1", 5000, "the old book", date(2031, 3, 10), FOREMAN)
    view = show_wrench(workshop, "W-1")

    assert ("out of calibration", "wrench W-1 has done at least 5000 cycles; 5000 are allowed") == (
        view.state,
        view.why,
    )


def test_what_a_wrench_found_out_has_done_is_listed_and_judged_again(workshop: Workshop) -> None:
    """Since it was last good: 22 N·m at +12 % made 19.6, below 19.8; 50 at +5.3 % made 47.5, still inside 47 … 53."""
    calibrated(workshop, on=date(2031, 3, 10))
    used(
        workshop,
        "2031-03-20 10:05 disc-bolt 22 N·m with W-1 by P-2",
        "2031-03-20 10:07 sprocket-bolt 50 N·m with W-1 by P-2",
        "2031-04-02 08:30 caliper-bolt 40 N·m with W-2 by P-2",
    )
    calibrated(
        workshop, on=date(2031, 4, 1), as_found=("22 N·m: 19.642857", "50 N·m: 47.483381"), as_left=("50 N·m: 50",)
    )
    view = show_wrench(workshop, "W-1")
    disc, *bolts = view.doubtful

    assert ("disc-bolt", False, "19.64 N·m ± 0.91 N·m with +12 %, OUTSIDE") == (disc.position, disc.inside, disc.doubt)
    assert ["47.5 N·m ± 2.2 N·m with +5.3 %, inside"] * 5 == [use.doubt for use in bolts]
    assert () == view.uses
    assert "as found outside its permissible deviation" in view.history[-1].says


def test_a_good_look_ends_the_doubt(workshop: Workshop) -> None:
    """What was done before a passed interim check was done with a good wrench."""
    used(workshop, "2031-03-20 10:05 disc-bolt 22 N·m with W-1 by P-2")
    check_wrench(workshop, "W-1", CheckWrench("bench tester", ("22 N·m: 22",)), Say("P-2"))
    workshop.clock.set("2031-04-09 08:00")  # type: ignore[attr-defined]
    calibrated(workshop, on=date(2031, 4, 9), as_found=("22 N·m: 19",))

    assert () == show_wrench(workshop, "W-1").doubtful


@pytest.mark.usefixtures("book_file")
def test_a_certificate_is_kept_and_its_loss_told(workshop: Workshop, tmp_path: Path) -> None:
    """The view says where it lies."""
    scan = tmp_path / "c.pdf"
    scan.write_bytes(b"%PDF-1.7 invented")
    calibrated(workshop, file=scan)
    done = show_wrench(workshop, "W-1").calibration
    place = Path(done.paper) if done else Path()
    sound = workshop.book.verify()
    place.unlink()

    assert [] == sound
    assert place.parent.name == "yard.book.papers"
    assert [f"The paper {place} is lost; bring it back from a backup."] == workshop.book.verify()


def test_a_certificate_that_cannot_be_kept_records_nothing(workshop: Workshop, tmp_path: Path) -> None:
    """And a calibration that is refused keeps no paper."""
    scan = tmp_path / "c.pdf"
    scan.write_bytes(b"no PDF")
    head = workshop.book.head()
    with pytest.raises(BookError, match="is none inside"):
        calibrated(workshop, file=scan)
    scan.write_bytes(b"%PDF-1.7 invented")
    with pytest.raises(Refused, match="above zero"):
        calibrated(workshop, file=scan, as_found=("100 N·m: 0",))

    assert head == workshop.book.head()
    assert not list(workshop.book.path.parent.glob("*.papers"))


def test_the_adapter_it_was_calibrated_with_is_shown(workshop: Workshop) -> None:
    """It must not be corrected for again."""
    calibrated(workshop, adapters=(Fitted("adapter", {"length_mm": "50", "angle_deg": "0"}),))
    done = show_wrench(workshop, "W-1").calibration

    assert "50 mm at 0°" == (done and done.adapter)


def test_a_personal_name_does_not_enter_a_wrenchs_record(workshop: Workshop) -> None:
    """Who dropped it is a number."""
    with pytest.raises(Refused, match="“by Barnaby Sample” holds a name or number of P-2; write P-2 instead"):
        mishandle(workshop, "W-1", "dropped", "by Barnaby Sample", MECHANIC)


@pytest.mark.parametrize(
    ("iso_class", "readings", "says"),
    [
        ("II A", 4, "fewer than 5 readings at 100 N·m; ISO 6789 takes 5 at each point of class II A"),
        ("II A", 5, ""),
        ("II C", 9, "fewer than 10 readings at 100 N·m; ISO 6789 takes 10 at each point of class II C"),
        ("II C", 10, ""),
        ("II B", 5, ""),
    ],
)
def test_how_many_readings_a_point_takes_follows_the_class(
    workshop: Workshop, iso_class: str, readings: int, says: str
) -> None:
    """Outside check: ISO 6789-1:2017, from memory: ten where the tool is adjustable and not graduated, five else."""
    number = add_wrench(workshop, NewWrench("setting", "red", iso_class=iso_class), FOREMAN)
    point = f"100 N·m: {' '.join(['100'] * readings)}; W 1 %"
    remarks = calibrated(workshop, number=number, as_found=(point,)).remarks

    assert ([says] if says else []) == [each for each in remarks if "readings" in each]


def test_a_tool_of_one_fixed_torque_is_calibrated_there_alone(workshop: Workshop) -> None:
    """Class II B: no point at the lowest value, 60 % and 100 % is asked for (ISO 6789-1:2017, from memory)."""
    fixed, other = (
        add_wrench(workshop, NewWrench("setting", "x", "20 N·m", "200 N·m", iso_class=name), FOREMAN)
        for name in ("II B", "II A")
    )
    point = "100 N·m: 100 100 100 100 100; W 1 %"

    assert [False, True] == [
        any("no point at" in each for each in calibrated(workshop, number=number, as_found=(point,)).remarks)
        for number in (fixed, other)
    ]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({"iso_class": "I A"}, "a tool of class I A is indicating, not setting"),
        ({"iso_class": "II A", "construction": "screwdriver"}, "class II A is a wrench, .*, not a screwdriver"),
        ({"iso_class": "II H"}, "II H: type and class of ISO 6789 are I A"),
    ],
)
def test_a_class_that_a_wrench_cannot_be_of_is_refused(workshop: Workshop, words: dict[str, Any], says: str) -> None:
    """Entered so, or put right into it."""
    with pytest.raises(Refused, match=says):
        add_wrench(workshop, NewWrench("setting", "red", **words), FOREMAN)
    with pytest.raises(Refused, match=says):
        change_wrench(workshop, "W-1", WrenchChange(**words), FOREMAN)


def test_a_class_put_right_judges_with_the_deviation_it_permits(workshop: Workshop) -> None:
    """A screwdriver of class II D may be off by 6 %, and its sheet says so."""
    done = change_wrench(workshop, "W-1", WrenchChange(iso_class="II D"), FOREMAN)
    view = show_wrench(workshop, "W-1")

    assert "class II D (screwdriver, adjustable, graduated or with a display) (was not stated)" == done.says
    assert ("II D", Decimal(6)) == (view.iso_class, view.permissible_percent)


def test_a_calibration_keeps_its_device_its_temperature_and_a_technician_who_can_be_erased(workshop: Workshop) -> None:
    """The name is in no entry; erased, the sheet says so. Outside check: ISO 6789-1:2017, from memory: 18 … 28 °C."""
    words: Any = {"reference": "torque cell 7", "temperature_c": Decimal("30.5"), "technician": "Xaver Invented"}
    answer = calibrated(workshop, as_found=(FOUND,), **words)
    entry = workshop.book.entries("wrench/W-1")[-1]
    before = show_wrench(workshop, "W-1").calibration
    erase_words(workshop, [entry.sequence], "he asked for it", FOREMAN)
    after = show_wrench(workshop, "W-1").calibration

    assert "done at 30.5 °C; ISO 6789 calibrates at 18 … 28 °C" in answer.remarks
    assert ("torque cell 7", Decimal("30.5"), "Xaver Invented") == (
        before and (before.reference, before.temperature_c, before.technician)
    )
    assert "Xaver" not in document_of(entry)
    assert "words erased on 2031-04-02 by P-1" == (after and after.technician)
    assert [] == workshop.book.verify()


@pytest.mark.parametrize(("expanded", "remarks"), [(None, 0), ("0.01", 0), ("0.0101", 1)])
def test_a_tester_is_known_to_a_quarter_of_what_it_judges_by(
    workshop: Workshop, expanded: str | None, remarks: int
) -> None:
    """Outside check: ISO 6789-2:2017, from memory: at most a quarter of the permissible ±4 %."""
    told = CheckWrench("bench", ("100 N·m: 100 100 100 100 100",), "T-1", Decimal(expanded) if expanded else None)
    answer = check_wrench(workshop, "W-1", told, MECHANIC)
    says = "the tester is known to ±1.01 % only; to judge by ±4 % it takes ±1 % or better"

    assert [says] * remarks == list(answer.remarks)
    assert "on bench (T-1): inside its permissible deviation" == show_wrench(workshop, "W-1").history[-1].says


@pytest.mark.parametrize(
    ("reference", "factor", "word"),
    [("97", 0, ""), ("97", 1, "in, not proved"), ("99", 1, ""), ("96", 1, "out, not proved"), ("94", 1, "")],
)
def test_a_look_that_the_decision_rule_does_not_prove_is_told(
    workshop: Workshop, reference: str, factor: int, word: str
) -> None:
    """+3.093 % with U 1.4 % against ±4 %: a guard band of 1·U leaves ±2.6 % (ISO 14253-1:2017, from memory)."""
    settle(workshop, {"guard_factor": str(factor)}, FOREMAN)
    point = f"100 N·m: {' '.join([reference] * 5)}"
    told = CheckWrench("bench", (point,), "T-1", Decimal("0.014"))
    remarks = [*check_wrench(workshop, "W-1", told, MECHANIC).remarks]
    remarks += calibrated(workshop, as_found=(f"{point}; W 1.4 %",)).remarks
    found = [each.partition(": ")[2] for each in remarks if "not proved by" in each]

    assert ([f"{word} by guard band 1·U of ±4 %"] * 2 if word else []) == found
