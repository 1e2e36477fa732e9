"""Vehicles of a workshop's own list: entered once, by the import, and what names an owner lies in no entry."""

import json
from collections.abc import Callable
from datetime import date

import pytest

from torqueaudit.book import vehicle_queries
from torqueaudit.ledger.entry import document_of
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.move_in.mapping import MoveMapping, read_move_mapping
from torqueaudit.model.shown.reminder import Contact
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.ledger import faults, forget
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.move_in.move_in import enter_list, look_at_list
from torqueaudit.workshop.move_in.rows import Comes, ListLook
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.search.find import find
from torqueaudit.workshop.vehicles.contact import agreement_of, contact_of, stop_token_of
from torqueaudit.workshop.vehicles.corrections import change_vehicle, strike_of_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.vehicles.visits import arrive

MAPPING = """format = 1
of = "vehicles"
tag = { columns = ["Model", "Colour"] }
model = { column = "Model" }
key = { column = "No" }
plate = { column = "Plate" }
frame_number = { column = "Frame" }
contact = { columns = ["Owner", "Phone"] }
odometer = { column = "Read", on = { column = "On" } }
mail = { column = "Mail" }
consent = { column = "OK", by = { column = "By" }, on = { column = "Since" } }
"""
HEAD = "No,Model,Colour,Plate,Frame,Owner,Phone,Read,On,Mail,OK,By,Since"
BLUE = (
    "1,Heron 250,blue,YD 104 K,DEMO104,Wilhelmina Sample,+43 660 0000104,"
    "18450,2031-03-01,w.sample@home.example,yes,P-2,2031-02-28"
)
RED = "2,Heron 250,red,YD 227 M,DEMO227,Ottokar Muster,+43 660 0000227,,,,,,"
PERSONAL = ("YD 104 K", "DEMO104", "Wilhelmina", "0000104", "w.sample", "YD 227 M", "Ottokar")
BY = Say("P-1", came=Came("terminal", "PIN"))
Read = Callable[..., ListLook]


@pytest.fixture
def mapping(workshop: Workshop) -> MoveMapping:
    """What the columns of HEAD mean."""
    return read_move_mapping(MAPPING, workshop.plugins.units)


@pytest.fixture
def look(workshop: Workshop, mapping: MoveMapping) -> Read:
    """Have rows below HEAD looked at as P-1, or as somebody else."""

    def looked(*rows: str, by: Say = BY, name: str = "list.csv") -> ListLook:
        return look_at_list(workshop, name, "\n".join((HEAD, *rows)).encode(), mapping, by)

    return looked


@pytest.fixture
def read(workshop: Workshop, look: Read) -> Read:
    """Have rows below HEAD entered, without those that are wrong."""

    def entered(*rows: str, by: Say = BY, name: str = "list.csv") -> ListLook:
        return enter_list(workshop, look(*rows, by=by, name=name), by, without_wrong=True)

    return entered


def comes(found: ListLook) -> list[Comes]:
    """What comes of each row."""
    return [each.comes for each in found.rows]


def says(found: ListLook) -> str:
    """What is said of the last row."""
    return found.rows[-1].says


def test_a_row_is_said_by_the_import_for_whoever_had_it_read(workshop: Workshop, read: Read) -> None:
    """The vehicle now, what was read off it and the owner's yes on their days; with the line and no digest."""
    number = read(BLUE).rows[0].number
    entries = workshop.book.entries(f"vehicle/{number}")

    expected = [
        ("entered.1", "2031-04-02T08:00:00Z", {"model": "Heron 250", "tag": "Heron 250, blue"}),
        ("read_off.1", "2031-03-01T00:00:00Z", {"odometer_m": 18_450_000}),
        ("contact_agreed.1", "2031-02-28T00:00:00Z", {"ways": ["mail"], "heard_by": "P-2"}),
    ]
    assert expected == [(each.kind, each.happened_at, each.said) for each in entries]
    whence = {"run_by": "P-1", "line": 2, "role": "import", "door": "import", "proof": "PIN"}
    assert [("import", whence)] * 3 == [(each.who, each.judged) for each in entries]
    assert {3} == {each.of for each in entries}


def test_nothing_that_names_an_owner_lies_in_an_entry(workshop: Workshop, read: Read) -> None:
    """Not as it is, nor as the digest of anything that could be tried out: all of it can be erased, and is proved."""
    look = read(BLUE, RED)
    ledger = "".join(document_of(entry) for entry, _ in workshop.book.ledger())
    number = look.rows[0].number

    assert [] == [each for each in (*PERSONAL, look.file) if each in ledger]
    known = workshop.book.personal_of(f"vehicle/{number}")
    assert ("YD 104 K", "DEMO104", "1") == (known["plate"], known["frame_number"], known["key_in_list"])
    assert "Wilhelmina Sample, +43 660 0000104" == known["contact"]
    assert f"line 2 of the file {look.file}" == known["moved_in_from"]
    assert Contact(mail="w.sample@home.example") == contact_of(workshop, number)
    assert stop_token_of(workshop, number)
    assert agreement_of(workshop, number)
    assert find(workshop, "YD 104", Say("P-1")).hits
    forget(workshop, f"vehicle/{number}")
    assert {} == workshop.book.personal_of(f"vehicle/{number}")
    assert [] == faults(workshop)
    data = b"".join(path.read_bytes() for path in workshop.book.path.parent.glob("*.book*") if path.is_file())
    assert [] == [each for each in PERSONAL[:5] if each.encode() in data]


def test_a_row_is_shown_in_its_own_words_before_anything_is_recorded(workshop: Workshop, look: Read) -> None:
    """All that it would enter, what is not kept of it, and that another one is called so too."""
    before = workshop.book.head()
    blue, red = look(BLUE, RED.replace("red", "blue").replace(",,,,,,", ",,,o.muster@home.example,no,,")).rows

    assert (
        "Heron 250, blue: Heron 250, odometer in km; frame number DEMO104; plate YD 104 K; key 1; contact Wilhelmina "
        "Sample, +43 660 0000104; 18450 km on 2031-03-01; to be reminded by w.sample@home.example, as P-2 heard on "
        "2031-02-28"
    ) == blue.says
    assert red.says.endswith("; Mail is not kept, for nobody agreed to be reminded; line 2 is called so too")
    assert before == workshop.book.head()


@pytest.mark.parametrize(
    "again",
    [
        BLUE,
        BLUE.replace("YD 104 K", "yd-104-k").replace("DEMO104", ""),
        BLUE.replace("DEMO104", "demo 104").replace("1,Heron", "77,Heron"),
        BLUE.replace("YD 104 K", "").replace("DEMO104", "").replace("18450", "19000"),
    ],
)
def test_reading_twice_adds_nothing(workshop: Workshop, read: Read, again: str) -> None:
    """A vehicle is known by its frame number, its plate however it is spaced, or the list's own key."""
    read(BLUE)
    before = workshop.book.head()
    second = read("", RED, again, name="other.csv")
    third = read("", RED, again)

    assert ([Comes.ENTERED, Comes.THERE], [Comes.THERE] * 2) == (comes(second), comes(third))
    assert second.rows[1].number == third.rows[1].number
    assert before.sequence + 1 == workshop.book.head().sequence


def test_another_plate_of_a_vehicle_that_is_there_is_told_and_stays(workshop: Workshop, read: Read) -> None:
    """What somebody has put right since is not written over by an old list."""
    number = read(BLUE).rows[0].number
    change_vehicle(workshop, number, VehicleChange(personal={"plate": "YD 9 NEW"}), Say("P-2"))

    assert f"as {number}. Another plate is known of it, and stays" == says(read(BLUE))
    assert "YD 9 NEW" == workshop.book.personal_of(f"vehicle/{number}")["plate"]


def test_a_vehicle_that_was_entered_by_hand_is_known_again(workshop: Workshop, read: Read) -> None:
    """Whoever began by hand reads the list behind that."""
    number = add_vehicle(workshop, "Heron 250, blue", "Heron 250", None, {"plate": "YD104K"}, Say("P-2"))

    assert (Comes.THERE, number) == (read(BLUE).rows[0].comes, read(BLUE).rows[0].number)


def test_what_may_be_two_vehicles_is_left_to_whoever_knows(read: Read) -> None:
    """Of the book, and within the list."""
    one, other = (each.number for each in read(BLUE, RED).rows)
    crossed = BLUE.replace("DEMO104", "DEMO227")
    new_frame = BLUE.replace("DEMO104", "DEMO999")
    new = BLUE.replace("104", "300").replace("1,", "9,", 1)

    assert f"its frame number is that of {other} and its plate is that of {one} of the book; look" in says(
        read(crossed)
    )
    assert f"{one} has this plate and key, and another frame number; look which" in says(read(new_frame))
    assert "line 2 has this frame number and plate and key, and says something else" in says(
        read(new, new.replace("blue", "green"))
    )
    assert "the same as line 2" == says(look_twice(read, new.replace("300", "301").replace("9,", "10,", 1)))


def look_twice(read: Read, row: str) -> ListLook:
    """A list that has a row twice."""
    return read(row, row)


def test_one_wrong_row_stops_the_whole_list(workshop: Workshop, look: Read) -> None:
    """Unless the others are to be entered without it."""
    before = workshop.book.head()
    found = look(BLUE, RED.replace("DEMO227", "").replace("YD 227 M", "").replace("2,", ",", 1))

    assert [Comes.ENTERED, Comes.WRONG] == comes(found)
    with pytest.raises(Refused, match="1 row is wrong, so nothing is entered: the whole list goes in, or nothing"):
        enter_list(workshop, found, BY)
    assert before == workshop.book.head()
    done = enter_list(workshop, found, BY, without_wrong=True)
    assert [Comes.ENTERED, Comes.WRONG] == comes(done)
    assert before.sequence + 3 == workshop.book.head().sequence


def test_a_tag_that_names_somebody_is_seen_before_anything_is_entered(workshop: Workshop, look: Read) -> None:
    """Its own owner, somebody of the book, and the owner of a row above, who is not in the book yet."""
    add_person(workshop, "Hortensia Beispiel", ("mechanic",), "", Say("P-1"))
    own = BLUE.replace("blue", "blue of Wilhelmina")
    mail = BLUE.replace("blue", "blue of Wrigley").replace("w.sample@", "wrigley@")
    known = RED.replace("red", "red of Beispiel")
    above = RED.replace("red", "red of Wilhelmina")

    assert "“Heron 250, blue of Wilhelmina” holds a part of the contact" in says(look(own))
    assert "“Heron 250, blue of Wrigley” holds a part of the mail" in says(look(mail))
    assert "holds a name or number of P-" in says(look(known))
    assert "“Heron 250, red of Wilhelmina” holds a name or number that line 2 tells of an owner" in says(
        look(BLUE, above)
    )
    assert [Comes.ENTERED, Comes.ENTERED] == comes(look(above, BLUE))


@pytest.mark.parametrize(
    ("row", "why"),
    [
        (BLUE.replace("2031-03-01", "2031-05-01"), "lies ahead of this clock"),
        (BLUE.replace("2031-02-28", "2031-05-01"), "lies ahead of this clock"),
        (BLUE.replace("P-2", "P-77"), "P-77: nobody of that number works here"),
    ],
)
def test_what_cannot_be_is_seen_before_anything_is_entered(look: Read, row: str, why: str) -> None:
    """Days to come, and a yes that nobody of the workshop heard."""
    assert why in says(look(row))


@pytest.mark.parametrize("by", ["P-2", "owner", "import", "night"])
def test_only_a_foreman_or_setup_moves_in(look: Read, by: str) -> None:
    """It enters hundreds at once."""
    with pytest.raises(Refused, match="only a foreman or setup may do this"):
        look(BLUE, by=Say(by))
    assert [Comes.ENTERED] == comes(look(BLUE, by=Say("setup")))


def test_what_a_list_tells_of_an_odometer_is_what_it_showed_then(workshop: Workshop, read: Read, clock: Clock) -> None:
    """The vehicle is not here by it; a later figure is held against it, and a foreman strikes a false one."""
    number = read(BLUE).rows[0].number
    newest = vehicle_queries.newest_odometer(workshop.book, number)

    assert newest
    assert (date(2031, 3, 1), 18_450_000) == (newest.happened_at.date(), newest.metres)
    assert not vehicle_queries.presence_at(workshop.book, number).here
    with pytest.raises(Refused, match="18000 km is less than the 18450 km read on 2031-03-01; read the odometer again"):
        arrive(workshop, number, 18_000_000, Say("P-2"))
    with pytest.raises(Refused, match="only a foreman"):
        strike_of_vehicle(workshop, number, newest.entry, "read off another one", Say("P-2"))
    struck = strike_of_vehicle(workshop, number, newest.entry, "read off another one", Say("P-1"))
    clock.set("2031-04-02 09:00")
    arrive(workshop, number, 18_000_000, Say("P-2"))

    assert "it was read" == struck.said
    assert [] == faults(workshop)


def test_a_row_that_somebody_enters_between_the_look_and_the_yes_is_left(workshop: Workshop, look: Read) -> None:
    """By hand, or by another reading of the same list; the others are entered all the same."""
    found = look(BLUE, RED)
    add_vehicle(workshop, "Heron 250, blue", "Heron 250", None, {"plate": "YD 104 K"}, Say("P-2"))
    done = enter_list(workshop, found, BY)

    assert [Comes.WRONG, Comes.ENTERED] == comes(done)
    assert "was entered meanwhile, and is the same one; read the list again" in done.rows[0].says
    assert [Comes.THERE, Comes.THERE] == comes(enter_list(workshop, look(BLUE, RED), BY))


def test_lines_of_json_say_the_same_as_a_table(workshop: Workshop, read: Read, mapping: MoveMapping) -> None:
    """Known again whichever form the list has."""
    read(BLUE)
    cells = dict(zip(HEAD.split(","), BLUE.split(","), strict=True))
    look = look_at_list(workshop, "list.jsonl", json.dumps(cells).encode(), mapping, BY)

    assert [Comes.THERE] == comes(look)
