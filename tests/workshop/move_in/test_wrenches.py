"""Wrenches of a workshop's own list: entered once by the import, as they would be by hand."""

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.move_in.mapping import read_move_mapping
from torqueaudit.model.wrench.acts import NewWrench, WrenchChange
from torqueaudit.model.wrench.words import facts_of
from torqueaudit.workshop.door.ledger import faults
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.move_in.move_in import enter_list, look_at_list
from torqueaudit.workshop.move_in.rows import Comes, ListLook
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.wrenches.corrections import change_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench, require_wrench

MAPPING = """format = 1
of = "wrenches"
tag = { column = "Name" }
kind = { column = "Kind" }
lowest = { column = "From" }
highest = { column = "To" }
unit = { always = "N·m" }
class = { column = "Class" }
owner = { column = "Lent by" }
due = { column = "Due" }
"""
HEAD = "Serial,Name,Kind,From,To,Class,Lent by,Due"
LONG = "D-1,long yellow,setting,40,200,II A,,2031-09-30"
DIAL = "D-2,old dial,indicating,5,60,,the next valley,2033-01-01"


def look(workshop: Workshop, *rows: str, keyed: bool = True) -> ListLook:
    """Have rows below HEAD looked at as the foreman; the list has a key of its own where it is `keyed`."""
    mapping = read_move_mapping(MAPPING + 'key = { column = "Serial" }\n' * keyed, workshop.plugins.units)
    return look_at_list(workshop, "list.csv", "\n".join((HEAD, *rows)).encode(), mapping, Say("P-1"))


def says(found: ListLook) -> str:
    """What is said of the last row."""
    return found.rows[-1].says


def test_a_row_is_shown_with_all_that_it_would_enter(workshop: Workshop) -> None:
    """In the words of the wrench's own page, so that a column that was mistaken is seen before the yes."""
    mapping = """format = 1
of = "wrenches"
tag = { column = "Name" }
kind = { always = "setting" }
lowest = { column = "From" }
highest = { column = "To" }
scale = { column = "Step" }
lever = { column = "Lever" }
direction = { column = "To the" }
construction = { always = "torsion or flexion bar" }
"""
    text = "Name,From,To,Step,Lever,To the\nold yellow,15 lbf·ft,75 lbf·ft,1 lbf·ft,500±2,right\n"
    found = look_at_list(
        workshop, "list.csv", text.encode(), read_move_mapping(mapping, workshop.plugins.units), Say("P-1")
    )
    shown = "range 15 … 75 lbf·ft; scale division 1 lbf·ft; lever 500 mm ± 2 mm; measures to right"

    assert f"old yellow: setting; {shown}; construction torsion or flexion bar" == says(found)
    done = enter_list(workshop, found, Say("P-1"))
    facts = facts_of(require_wrench(workshop, done.rows[0].number))
    assert shown == "; ".join(f"{name} {facts[name]}" for name in list(facts)[2:6])


@pytest.mark.parametrize("keyed", [True, False])
def test_a_wrench_is_entered_once_as_by_hand(workshop: Workshop, keyed: bool) -> None:  # noqa: FBT001  # pytest's way
    """What its entry says is what the command would have said; a due day is cut as there, and that is shown before."""
    found = look(workshop, LONG, DIAL, keyed=keyed)
    class_says = "class II A (wrench, adjustable, graduated or with a display)"
    assert f"long yellow: setting; range 40 … 200 N·m; {class_says}; due by 2031-09-30" == found.rows[0].says
    assert "lent by the next valley; due by 2032-04-02; its calibration counts until 2032-04-02 only" in says(found)
    done = enter_list(workshop, found, Say("P-1"))
    by_hand = add_wrench(workshop, NewWrench("setting", "by hand", "40 N·m", "200 N·m", iso_class="II A"), Say("P-1"))
    (entry,) = workshop.book.entries(f"wrench/{done.rows[0].number}")
    like = workshop.book.entries(f"wrench/{by_hand}")[0].said

    assert {**like, "tag": "long yellow", "due_on": "2031-09-30"} == entry.said
    whence = {"run_by": "P-1", "file": done.file, "line": 2, "due_on": "2031-09-30"}
    assert {**whence, "role": "import", "door": "import"} == entry.judged
    assert "the next valley" == require_wrench(workshop, done.rows[1].number).owner
    before = workshop.book.head()
    again = look(workshop, "", DIAL, LONG, keyed=keyed)
    assert [Comes.THERE] * 2 == [each.comes for each in enter_list(workshop, again, Say("P-1")).rows]
    assert f"as {done.rows[0].number}" == says(again)
    assert (before, []) == (workshop.book.head(), faults(workshop))


def test_a_wrench_that_was_put_right_since_is_known_by_its_key(workshop: Workshop) -> None:
    """And stays as it was put right."""
    number = enter_list(workshop, look(workshop, LONG), Say("P-1")).rows[0].number
    change_wrench(workshop, number, WrenchChange(tag="long orange"), Say("P-1"))

    assert f"as {number}" == says(look(workshop, LONG.replace("40,200", "40,210")))


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        ((LONG, LONG.replace("200", "210")), "line 2 has this key, and says something else; leave one of them out"),
        ((LONG, LONG), "the same as line 2"),
        ((LONG, LONG.replace("D-1", "D-9")), "line 2 is called long yellow too. If it is the same one, leave this row"),
        ((LONG.replace("40,200", "200,40"),), "a wrench's range goes from its lowest to its highest value"),
        ((LONG.replace("II A", "I A"),), "a tool of class I A is indicating, not setting"),
        ((LONG.replace("long yellow", "Hortense Sample's"),), "holds a name or number of P-"),
    ],
)
def test_what_could_not_be_entered_by_hand_is_seen_before(workshop: Workshop, rows: tuple[str, ...], why: str) -> None:
    """With what to do."""
    add_person(workshop, "Hortense Sample", ("mechanic",), "", Say("P-1"))
    assert why in says(look(workshop, *rows))


def test_a_wrench_of_the_book_that_is_called_so_is_told(workshop: Workshop) -> None:
    """For nobody knows whether it is the same one."""
    number = add_wrench(workshop, NewWrench("setting", "Long Yellow"), Say("P-1"))

    assert f"{number} is called long yellow too. If it is the same one, leave this row out; if not" in says(
        look(workshop, LONG)
    )
    with pytest.raises(Refused, match="1 row is wrong"):
        enter_list(workshop, look(workshop, LONG), Say("P-1"))
