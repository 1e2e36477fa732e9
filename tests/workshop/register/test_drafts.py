"""A procedure that is typed piece by piece: what is wrong is kept and told at its field, what is whole is entered."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from torqueaudit.book.drafts import Drafts
from torqueaudit.book.places import photos_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.procedure.picture import Picture
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.drafts import (
    DraftLook,
    add_work,
    begin_draft,
    begin_revision,
    drafts,
    enter_draft,
    look_at_draft,
    look_with,
    move_piece,
    take_piece,
    tell_piece,
    throw_away,
)
from torqueaudit.workshop.register.pictures import PicturesBeside, picture_file
from torqueaudit.workshop.register.procedures import enter_procedure, pictures_of

FOREMAN = Say("P-1")
SOURCE = {"key": "manual", "document": "Heron 300 manual", "edition": "2", "model": "Heron 300", "years": [2028, 2031]}
NUT = {
    "name": "rear axle nut",
    "source": "manual",
    "page": "7-2",
    "torque": "88 N·m",
    "tolerance": "10 %",
    "mark": True,
}
ROOT = Path(__file__).parents[3]


def tell(workshop: Workshop, place: str, values: dict[str, Any], name: str = "rear-axle") -> str:
    """Type a piece of the draft as it stands."""
    return tell_piece(workshop, name, look_at_draft(workshop, name).seen, place, values, FOREMAN)


@pytest.fixture
def begun(workshop: Workshop) -> Workshop:
    """A draft with a source and one nut."""
    begin_draft(workshop, "rear-axle", "Rear axle", FOREMAN)
    tell(workshop, "new-source", dict(SOURCE))
    tell(workshop, "new-tighten", dict(NUT))
    return workshop


def wrong(look: DraftLook) -> list[tuple[str, str, str]]:
    """What is to be put right: place, field and sentence."""
    return [(piece.place, each.field, each.says) for piece in look.pieces for each in piece.wrong]


def test_what_was_typed_becomes_the_procedure_that_a_file_would(begun: Workshop) -> None:
    """The same text may be entered at the command line; once it is entered no draft is left."""
    look = look_at_draft(begun, "rear-axle")
    text = Drafts(begun.book.path).text("rear-axle")
    digest = enter_draft(begun, "rear-axle", look.seen, FOREMAN)

    assert text is not None
    assert begun.procedure(digest).text == text
    assert {"tighten": "rear-axle-nut", **NUT} == tomllib.loads(text)["work"][0]
    assert ([], 0) == (drafts(begun), look.wrong)


def test_what_is_wrong_is_kept_and_told_at_its_field(begun: Workshop) -> None:
    """In words for whoever types into a form."""
    place = tell(begun, "new-tighten", {"name": "axle bolt", "torque": "40 Nmm", "count": "six"})
    look = look_at_draft(begun, "rear-axle")
    told = wrong(look)

    assert "work-2" == place
    assert ("work-2", "source", "is missing") in told
    assert ("work-2", "page", "is missing") in told
    assert ("work-2", "count", "has to be a whole number from 2 to 20") in told
    assert {"work-2"} == {at for at, _, _ in told}
    assert ("six", "40 Nmm") == tuple(look.pieces[-1].values[key] for key in ("count", "torque"))
    with pytest.raises(Refused, match=r"line \d+, axle-bolt\.torque"):
        enter_draft(begun, "rear-axle", look.seen, FOREMAN)
    assert ["rear-axle"] == drafts(begun)


def test_a_piece_that_is_called_otherwise_is_called_so_everywhere(begun: Workshop) -> None:
    """Whatever came after it, and the re-check, name it by its new key."""
    tell(begun, "new-step", {"name": "wheel turns", "says": "It turns free.", "after": ["rear-axle-nut"]})
    tell(begun, "recheck", {"distance": "100 km", "marks": ["rear-axle-nut"]})
    tell(begun, "work-1", {**NUT, "key": "axle-nut"})
    look = look_at_draft(begun, "rear-axle")
    pieces = {piece.place: piece for piece in look.pieces}

    assert [] == wrong(look)
    assert ("axle-nut", ["axle-nut"], ["axle-nut"]) == (
        pieces["work-1"].key,
        pieces["work-2"].values["after"],
        pieces["recheck"].values["marks"],
    )


def test_pieces_change_places_come_between_and_go(begun: Workshop) -> None:
    """The order of the text is the order of the work."""
    for name in ("stand up", "wheel turns"):
        tell(begun, "new-step", {"name": name, "says": "Do it."})
    tell(begun, "new-step-1", {"name": "in between", "says": "Do it."})

    def names() -> list[str]:
        return [piece.name for piece in look_at_draft(begun, "rear-axle").pieces if piece.table == "work"]

    def seen() -> str:
        return look_at_draft(begun, "rear-axle").seen

    assert ["rear axle nut", "in between", "stand up", "wheel turns"] == names()
    move_piece(begun, "rear-axle", seen(), 2, -2 + 1, FOREMAN)
    assert ["rear axle nut", "stand up", "in between", "wheel turns"] == names()
    move_piece(begun, "rear-axle", seen(), 0, -1, FOREMAN)
    take_piece(begun, "rear-axle", seen(), "work-3", FOREMAN)
    assert ["rear axle nut", "stand up", "wheel turns"] == names()


def test_two_who_write_one_draft_lose_nothing(begun: Workshop) -> None:
    """The second is told that it was changed meanwhile, and what was changed stays."""
    seen = look_at_draft(begun, "rear-axle").seen
    tell(begun, "work-1", {**NUT, "page": "7-3"})
    with pytest.raises(Refused, match="by somebody else or in another window"):
        tell_piece(begun, "rear-axle", seen, "work-1", {**NUT, "page": "7-9"}, FOREMAN)

    assert "7-3" == look_at_draft(begun, "rear-axle").pieces[-1].values["page"]


def test_a_revision_begins_with_what_holds_and_shows_what_it_changes(workshop: Workshop) -> None:
    """With the remarks of its text and its pictures."""
    file = ROOT / "examples" / "procedures" / "with-pictures" / "clip-link.toml"
    digest = enter_procedure(workshop, file, FOREMAN)
    name = begin_revision(workshop, digest[:12], FOREMAN)
    look = look_at_draft(workshop, name)
    first = next(piece for piece in look.pieces if piece.table == "work")
    same = (wrong(look), look.changes, look.before)
    tell(workshop, "head", {"title": "Another title"}, name)
    changed = look_at_draft(workshop, name)

    assert ([], (), digest) == same
    assert "#" in (Drafts(workshop.book.path).text(name) or "")
    assert ["the whole: title “Another title”, before “" in str(each) for each in changed.changes] == [True]
    assert first.name
    with pytest.raises(Refused, match="is being written already"):
        begin_revision(workshop, digest[:12], FOREMAN)


def test_rows_are_looked_at_before_they_are_added(begun: Workshop) -> None:
    """Nothing is kept of a look."""
    rows: list[dict[str, Any]] = [
        {"tighten": "left-bolt", **NUT, "name": "left bolt"},
        {"tighten": "right-bolt", "name": "right bolt"},
    ]
    looked = look_with(begun, "rear-axle", rows)
    before = len(look_at_draft(begun, "rear-axle").pieces)
    add_work(begun, "rear-axle", look_at_draft(begun, "rear-axle").seen, rows[:1], FOREMAN)

    assert [("left bolt", 0), ("right bolt", 3)] == [(piece.name, len(piece.wrong)) for piece in looked]
    assert before + 1 == len(look_at_draft(begun, "rear-axle").pieces)


@pytest.mark.parametrize("name", ["../yard", "Rear", "", "x" * 3 + "/y"])
def test_a_name_that_is_no_short_name_is_refused(workshop: Workshop, name: str) -> None:
    """So that no draft lies anywhere else; left empty it is made of the title."""
    if name:
        with pytest.raises(Refused, match="is no short name"):
            begin_draft(workshop, name, "Rear axle", FOREMAN)
    with pytest.raises(Refused, match="is being written"):
        look_at_draft(workshop, name)

    assert "rear-axle-left" == begin_draft(workshop, "", "Rear axle (left)", FOREMAN)
    throw_away(workshop, "rear-axle-left", look_at_draft(workshop, "rear-axle-left").seen, FOREMAN)
    assert [] == drafts(workshop)


def test_a_draft_that_somebody_spoilt_by_hand_is_told(begun: Workshop) -> None:
    """With the file and the line; nothing is written over it."""
    file = Drafts(begun.book.path).folder / "rear-axle.toml"
    file.write_text(file.read_text(encoding="utf-8") + "torque 88", encoding="utf-8")
    with pytest.raises(Refused, match=r"rear-axle\.toml was changed by hand, and is no TOML: line \d+"):
        look_at_draft(begun, "rear-axle")


def test_more_than_a_text_may_hold_is_refused_and_the_draft_stays(begun: Workshop) -> None:
    """Kept, nobody could open it again."""
    with pytest.raises(Refused, match="this cannot be kept in a draft: this has more than 250000 characters"):
        tell(begun, "new-step", {"name": "all of it", "says": "x" * 260_000})

    assert ["rear axle nut"] == [each.name for each in look_at_draft(begun, "rear-axle").pieces if each.table == "work"]


def test_a_picture_that_was_looked_at_is_not_made_harmless_again_until_it_is_entered(begun: Workshop) -> None:
    """A draft is looked at after each piece; what is entered is made of the file itself."""
    folder, looked = Drafts(begun.book.path).folder, dict[str, Picture]()
    Image.new("RGB", (64, 48), "teal").save(folder / "nut.png")
    first = PicturesBeside(folder, looked=looked).picture_in("nut.png")
    again = PicturesBeside(folder, looked=looked)
    same = again.picture_in("nut.png") == first
    again.keep(begun.book.path)
    assert (True, False) == (same, photos_of(begun.book.path).exists())
    tell(begun, "work-1", {"picture": "nut.png", "picture_says": "The nut from behind."})
    digest = enter_draft(begun, "rear-axle", look_at_draft(begun, "rear-axle").seen, FOREMAN)
    Image.new("RGB", (64, 48), "plum").save(folder / "nut.png")

    assert picture_file(begun, digest, first.digest)
    assert first.digest != PicturesBeside(folder, looked=looked).picture_in("nut.png").digest


def test_a_title_of_which_no_short_name_can_be_made_asks_for_one(workshop: Workshop) -> None:
    """One in another script; with a short name it is taken."""
    with pytest.raises(Refused, match="no short name can be made of “Цепь”; tell one"):
        begin_draft(workshop, "", "Цепь", FOREMAN)

    assert "chain" == begin_draft(workshop, "chain", "Цепь", FOREMAN)


def test_a_revision_brings_its_own_pictures_and_takes_none_from_another_draft(begun: Workshop) -> None:
    """Of one name, and with something else on them; what no draft names any more is written over."""
    file = ROOT / "examples" / "procedures" / "with-pictures" / "clip-link.toml"
    digest = enter_procedure(begun, file, FOREMAN)
    picture, kept = pictures_of(begun, digest)[0]
    place = Drafts(begun.book.path).folder / picture.file
    Image.new("RGB", (64, 48), "teal").save(place)
    tell(begun, "work-1", {"picture": picture.file, "picture_says": "The nut from behind."})
    with pytest.raises(Refused, match=f"the draft “rear-axle” has another picture that is called {picture.file} too"):
        begin_revision(begun, digest, FOREMAN)
    assert ["rear-axle"] == drafts(begun)
    throw_away(begun, "rear-axle", look_at_draft(begun, "rear-axle").seen, FOREMAN)
    name = begin_revision(begun, digest, FOREMAN)

    assert (kept.read_bytes(), ()) == (place.read_bytes(), look_at_draft(begun, name).changes)


def test_a_short_name_that_is_no_name_of_a_file_is_refused(workshop: Workshop) -> None:
    """In a sentence about the name, and not about the disk."""
    with pytest.raises(Refused, match="has 300 signs, and the short name of a draft at most 200"):
        begin_draft(workshop, "a" * 300, "Rear axle", FOREMAN)
    with pytest.raises(Refused, match="is being written"):
        look_at_draft(workshop, "a" * 300)
