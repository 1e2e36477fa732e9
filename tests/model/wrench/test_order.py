"""The order of the looks at a wrench, and that it never depends on the order in which they were told."""

from collections.abc import Sequence
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.ledger.entry import Entry
from torqueaudit.model.job.noted import Noted
from torqueaudit.model.wrench.doubt import Known, known_of, not_ordered
from torqueaudit.model.wrench.entries import fold_wrench
from torqueaudit.model.wrench.look import Look
from torqueaudit.model.wrench.order import is_after, unordered
from torqueaudit.model.wrench.wrench import Wrench

DAYS = tuple(date(2031, 4, day) for day in (2, 3, 4, 5, 6))
AT = Decimal(100)
CHECK = "interim_checked.1"


class Told(NamedTuple):
    """A look as somebody tells it: the reference read of 100, as found and as left, "" where not stated."""

    day: int
    hour: int | None
    found: str
    left: str = ""
    kind: str = "calibrated.1"
    setting: int = 100


def look(number: int, told: Told) -> Entry:
    """The entry of a look; what lies beyond 4 % fails it."""
    on = f"2031-04-0{told.day}"
    at = f"{on}T{12 if told.hour is None else told.hour:02}:00:00Z"
    shown = Decimal(told.setting)
    found, left = (
        [{"shown_nm": str(shown), "references_nm": [str(Decimal(each) * shown / 100)]}] if each else []
        for each in (told.found, told.left)
    )
    holds = told.left or told.found
    judged: dict[str, Any] = {"on": on, "passed": True, "due_on": "2032-04-02"}
    if holds and abs(100 / Decimal(holds) - 1) > Decimal("0.04"):
        judged |= {"passed": False, "withdrawn": f"outside on {on}"}
    check = told.kind == CHECK
    if not check and told.hour is not None:
        judged["at"] = at
    return Entry(
        site="YARD",
        sequence=number,
        id=f"A{number}",
        subject="wrench/W-1",
        number=number,
        kind=told.kind,
        happened_at=at,
        recorded_at="2031-04-07T12:00:00Z",
        who="P-1",
        said={"tester": "bench"} if check else {"on": on},
        judged=judged | ({"points": found} if check else {"as_found": found, "as_left": left}),
        previous="",
        digest="",
        of=1,
    )


def wrench(looks: Sequence[Told], first: int = 10) -> Wrench:
    """A wrench with its looks, told in the order they are given."""
    entered = look(1, Told(2, 0, ""))._replace(kind="entered.1", said={"kind": "setting", "tag": "blue"}, judged={})
    narrow = entered._replace(said={**entered.said, "min_nm": "20", "max_nm": "200"})
    return fold_wrench([narrow, *(look(number, told) for number, told in enumerate(looks, first))])


def known(folded: Wrench, entry: int, *, day: int = 4, hour: int = 12) -> Known:
    """What is known of a pass at 100 N·m told as an entry."""
    at = datetime(2031, 4, day, hour, 30, tzinfo=UTC)
    noted = Noted(entry=entry, number=1, happened_at=at, recorded_at=at, by="P-2", role="", supervisor="")
    return known_of(folded, at.date(), noted, AT)


def nameless(seen: Look | None) -> Look | None:
    """A look without the number of its entry, which goes by the order of telling."""
    return seen._replace(entry=0) if seen else None


def answers(looks: Sequence[Told]) -> list[Any]:
    """Everything that is answered of a wrench: may it be used, what does it rest on, what were two passes worth."""
    folded = wrench(looks)
    passes = [known(folded, entry, day=day) for day in (3, 4) for entry in (1, 99)]
    force = [folded.in_force(day) for day in DAYS]
    rests_on = [each.calibration._replace(entry=0) if each.calibration else None for each in force]
    return [
        folded.withdrawn,
        folded.out_since,
        folded.due,
        [(each.why_not, each.due_on) for each in force],
        rests_on,
        [(nameless(each.answer), nameless(each.hint), nameless(each.ended), each.mishap) for each in passes],
        [sorted(map(repr, map(nameless, of_day))) for of_day in not_ordered(folded)],
    ]


READ = st.sampled_from(["90", "95", "98", "100", "104"])
SETTING = st.sampled_from([100, 100, 150])
CALIBRATIONS = st.builds(
    Told,
    day=st.integers(3, 5),
    hour=st.none() | st.integers(0, 23),
    found=READ | st.just(""),
    left=READ | st.just(""),
    kind=st.just("calibrated.1"),
    setting=SETTING,
)
CHECKS = st.builds(
    Told,
    day=st.integers(3, 5),
    hour=st.integers(0, 23),
    found=READ,
    left=st.just(""),
    kind=st.just(CHECK),
    setting=SETTING,
)
LOOKS = st.lists(CALIBRATIONS | CHECKS, min_size=2, max_size=5, unique_by=lambda told: (told.day, told.hour, told[2:]))


@given(st.data(), LOOKS)
def test_any_order_of_telling_the_same_looks_gives_the_same_answer(data: st.DataObject, looks: list[Told]) -> None:
    """Outside check: ISO 9001:2015, 7.1.5.2: what a measurement was worth does not hang on when somebody wrote it."""
    assert answers(looks) == answers(data.draw(st.permutations(looks)))


OUT, GOOD = Told(4, None, "90"), Told(4, None, "100")


@pytest.mark.parametrize("looks", [(OUT, GOOD), (GOOD, OUT)])
@pytest.mark.parametrize("entry", [1, 99])
def test_until_its_order_is_told_the_failing_look_of_a_day_counts_backwards_and_forwards(
    looks: tuple[Told, ...], entry: int
) -> None:
    """For a pass of before, for one of the day itself whenever that was told, and for whether it may be used.

    Outside check: ISO 10012, from memory: what was found out puts earlier work in doubt until that is settled.
    """
    folded = wrench(looks)
    before, same = known(folded, entry, day=3), known(folded, entry)

    assert [True, True] == [each.answer is not None and each.answer.out for each in (before, same)]
    assert "outside on 2031-04-04" == folded.withdrawn
    assert "wrench W-1 lay outside on 2031-04-04" == folded.in_force(date(2031, 4, 5)).why_not


def test_with_their_hours_told_the_looks_of_a_day_stand_in_their_order() -> None:
    """Found out in the morning, in order at noon: what was before is in doubt, and it may be used since."""
    folded = wrench((OUT._replace(hour=8), GOOD._replace(hour=11)))
    before, between, since = (known(folded, 99, hour=hour) for hour in (7, 9, 12))

    assert ("", "") == (folded.withdrawn, folded.in_force(date(2031, 4, 5)).why_not)
    assert [True, False] == [each.answer is not None and each.answer.out for each in (before, between)]
    assert Known(None) == since
    assert [] == not_ordered(folded)


def test_a_good_look_without_an_hour_clears_a_pass_of_its_day_that_was_told_before() -> None:
    """Told after the look, nothing shows that the pass was done before it."""
    assert [True, False] == [known(wrench((GOOD,)), entry).good for entry in (1, 99)]


def test_a_good_look_without_an_hour_clears_nothing_on_a_day_that_has_a_failing_one() -> None:
    """The check of eight o'clock found it out; whether the wrench was put right before the pass nobody knows."""
    folded = wrench((Told(4, 8, "90", kind=CHECK), GOOD))

    assert Known(None) == known(folded, 1)
    assert "outside on 2031-04-04" == folded.withdrawn


def test_one_calibration_with_as_found_and_as_left_knows_its_own_order() -> None:
    """There is nothing to ask: found out, adjusted, in order since."""
    folded = wrench((Told(4, None, "90", "100"),))

    assert ([], "", "") == (not_ordered(folded), folded.withdrawn, folded.in_force(date(2031, 4, 5)).why_not)
    assert known(folded, 1, day=3).answer is not None


def test_a_day_or_an_hour_orders_two_looks_and_nothing_else_does() -> None:
    """One hour told of two is not enough, and one moment for both neither."""
    none, eight, nine, next_day = (Told(day, hour, "100") for day, hour in ((4, None), (4, 8), (4, 9), (5, None)))
    first, *others = (wrench((each,)).calibrations[0] for each in (eight, nine, next_day, none, eight))

    assert [True, True, False, False] == [is_after(each, first) for each in others]
    assert [False, False, True, True] == [unordered(each, first) for each in others]
