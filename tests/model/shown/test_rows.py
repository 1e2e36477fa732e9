"""A night by motorcycle: each in one row, in the most urgent section that tells of it, and nothing left out."""

from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.model.shown.night import Call, Line, NightSection
from torqueaudit.model.shown.rows import folded

KEYS = ("audited", "road", "missed", "due")
LINES = st.builds(
    Line,
    says=st.sampled_from(["Call it in.", "Look at it.", "Send it."]),
    vehicle=st.sampled_from(["", "V-1", "V-2", "V-3"]),
    tag=st.sampled_from(["", "red tourer"]),
    days_late=st.sampled_from([None, 2, 9]),
    metres_late=st.sampled_from([None, 120_000]),
    call=st.sampled_from(list(Call)),
)
NIGHTS = st.tuples(*(st.lists(LINES, max_size=5) for _ in KEYS)).map(
    lambda each: tuple(NightSection(key, key.title(), tuple(lines)) for key, lines in zip(KEYS, each, strict=True))
)


@given(NIGHTS)
def test_each_line_stands_in_one_row_and_each_motorcycle_has_one(sections: tuple[NightSection, ...]) -> None:
    """Whatever a night tells; a line of the workshop's own is a row by itself."""
    folds = tuple(folded(sections))
    rows = [row for fold in folds for row in fold.rows]
    vehicles = [row.vehicle for row in rows if row.vehicle]

    assert len(vehicles) == len(set(vehicles))
    assert sorted(map(repr, (line for each in sections for line in each.lines))) == sorted(
        repr(reason.line) for row in rows for reason in row.reasons
    )
    assert [1] * (len(rows) - len(vehicles)) == [len(row.reasons) for row in rows if not row.vehicle]
    assert all(reason.line.vehicle == row.vehicle for row in rows for reason in row.reasons)


@given(NIGHTS)
def test_a_row_begins_where_its_most_urgent_line_stands(sections: tuple[NightSection, ...]) -> None:
    """Its lines follow in the order of the sections, and each section says how many of its own stand further up."""
    above = dict.fromkeys(KEYS, 0)
    for fold in folded(sections):
        for row in fold.rows:
            keys = [reason.key for reason in row.reasons]

            assert fold.section.key == keys[0]
            assert sorted(keys, key=KEYS.index) == keys

            for key in keys:
                above[key] += key != fold.section.key
        assert above[fold.section.key] == fold.above


def test_a_row_says_whom_to_call_once_and_how_late_the_latest_of_it_is() -> None:
    lines = (
        Line("Reach the owner.", vehicle="V-1", call=Call.OWNER),
        Line("Late.", vehicle="V-1", tag="red tourer", days_late=2, metres_late=120_000, call=Call.OWNER),
        Line("Later.", vehicle="V-1", days_late=9, call=Call.ELSEWHERE),
    )
    (fold,) = folded([NightSection("missed", "Missed", lines)])
    (row,) = fold.rows

    assert ("red tourer", (Call.OWNER, Call.ELSEWHERE)) == (row.tag, row.calls)
    assert (9, "120 km") == (row.days_late, row.late_far)
