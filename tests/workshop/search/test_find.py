"""Whatever a person types who has somebody on the telephone leads to what is meant, with the reason."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.model.shown.reminder import Contact
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.testing import play
from torqueaudit.workshop.door.ledger import forget
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.people import change_person, end_person
from torqueaudit.workshop.search.disclosures import disclosures_of
from torqueaudit.workshop.search.find import find
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.programs import let_in
from torqueaudit.workshop.vehicles.contact import agree_contact
from torqueaudit.workshop.vehicles.corrections import change_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

FOREMAN, MECHANIC = Say("P-1"), Say("P-2", came=Came("page", "PIN", "D-1"))
PIECES = (
    "xab",
    "12",
    "v4",
    "job",
    "2",
    "+43",
    "(0)660",
    "1234567",
    "spacer",
    "ö",
    "ß",
    "L-7/24",
    "%",
    "a b",
    "2031-04-02",
)
CARD = """
2031-04-02 10:00 job 1 opened axle on V-4 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut loosened: the spacer was missing by P-2
2031-04-02 10:10 job 2 opened final-drive on V-1 at 12000 km by P-2
2031-04-02 10:11 tab-washer fitted washer 18 mm lot L-7/24 by P-2
2031-04-02 10:12 brake-tried yes: pads of Straßenbahn green by P-2
2031-04-03 10:00 job 3 opened final-drive on V-4 at 12000 km by P-2
2031-04-03 10:12 brake-tried yes: it creaks by P-2
2031-04-03 10:13 line 8 struck: another motorcycle by P-2
2031-04-03 10:20 V-1 rear-axle-nut reported loosened: the spacer was sought by owner
"""


@pytest.fixture
def yard(workshop: Workshop) -> Workshop:
    """Two owners, three jobs, and what was written on them."""
    personal = {"plate": "X-AB 12 Ö", "frame_number": "KS5-000 417", "contact": "Ada Müßig-Sørensen, 0555 / 12 34 56"}
    add_vehicle(workshop, "Kestrel 500, black", "Kestrel 500", 2029, personal, FOREMAN)
    play(
        workshop,
        CARD.replace("2031-04-03 10:20 V-1 rear-axle-nut reported", "2031-04-03 10:20 V-4 rear-axle-nut reported"),
    )
    agree_contact(workshop, "V-1", Contact(mobile="+436601234567", mail="ada@yard.example"), FOREMAN)
    return workshop


def told(workshop: Workshop, typed: str, by: Say = MECHANIC) -> list[str]:
    """Each hit with its first reason."""
    return [f"{hit.name} by {hit.whys[0].field}" for hit in find(workshop, typed, by).hits]


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("xab", ["V-4 by plate"]),
        ("AB 12", ["V-4 by plate"]),
        ("x ab 12 o", ["V-4 by plate"]),
        ("ab12oe", ["V-4 by plate"]),
        ("b12", ["V-4 by plate"]),
        ("000417", ["V-4 by frame number"]),
        ("KS5 000 417", ["V-4 by frame number"]),
        ("ada mussig", ["V-4 by contact"]),
        ("MUESSIG", ["V-4 by contact"]),
        ("müßig sörensen", ["V-4 by contact"]),
        ("sorensen", ["V-4 by contact"]),
        ("soerensen", ["V-4 by contact"]),
        ("ussi", ["V-4 by contact"]),
        ("0555123456", ["V-4 by contact"]),
        ("0555 12 34 56", ["V-4 by contact"]),
        ("+43 555 123456", ["V-4 by contact"]),
        ("123456", ["V-1 by mobile", "V-4 by contact"]),
        ("0660/123 45 67", ["V-1 by mobile"]),
        ("0043 660 1234567", ["V-1 by mobile"]),
        ("(0)660 123-4567", ["V-1 by mobile"]),
        ("+43 (0)660 1234567", ["V-1 by mobile"]),
        ("ada@yard", ["V-1 by mail"]),
        ("kestrel black", ["V-4 by tag"]),
        ("kestrel500black", ["V-4 by tag"]),
        ("Merlin", ["V-3 by model"]),
        ("barnaby", ["P-2 by name"]),
        ("l724", ["job 2 by lot"]),
        ("L-7/24", ["job 2 by lot"]),
        ("strassenbahn", ["job 2 by remark"]),
        ("STRASSEN", ["job 2 by remark"]),
        ("creaks", ["job 3 by remark"]),
        ("spacer", ["V-4 by reason", "job 1 by reason"]),
        ("blue", ["W-1 by tag"]),
        ("V-1", ["V-1 by number"]),
        ("v4", ["V-4 by number"]),
        ("w 3", ["W-3 by number"]),
        ("P-3", ["P-3 by number"]),
        ("2", ["job 2 by number"]),
        ("job 3", ["job 3 by number"]),
        ("2031-04-03", ["job 3 by day"]),
        ("2031-04-02", ["job 2 by day", "job 1 by day"]),
        ("2.4.2031", ["job 2 by day", "job 1 by day"]),
        ("2031-04-05", []),
        ("nothing of it", []),
        ("V-77", []),
        ("lot L-7/24", ["job 2 by lot"]),
        ("L-7/24 lot:", ["job 2 by lot"]),
        ("part washer lot l724", ["job 2 by part"]),
        ("plate x ab 12", ["V-4 by plate"]),
        ("frame number 000417", ["V-4 by frame number"]),
        ("person barnaby", ["P-2 by name"]),
        ("wrench blue", ["W-1 by tag"]),
        ("wrench W-2", ["W-2 by number"]),
        ("V-4 vehicle", ["V-4 by number"]),
        ("motorcycle black", ["V-4 by tag"]),
        ("owner ada", ["V-4 by contact"]),
        ("telephone 0555 12 34 56", ["V-4 by contact"]),
        ("wrench P-2", []),
        ("plate L-7/24", []),
        ("wrench barnaby", []),
        ("xab missing", ["job 1 by plate"]),
        ("missing xab", ["job 1 by reason"]),
        ("x ab 12 creaks", ["job 3 by plate"]),
        ("v4 spacer", ["V-4 by number"]),
        ("missing creaks", ["V-4 by reason of job 1"]),
        ("xab green", []),
        ("100%", []),
        ("a_b_c", []),
        ("page 12 creaks", []),
        ("creaks 12", []),
        ("12 creaks", []),
        ("'; drop", []),
        ('"spacer" OR', []),
    ],
)
def test_what_is_typed_leads_to_what_is_meant(yard: Workshop, typed: str, expected: list[str]) -> None:
    """In any case, with or without accents, spaces and signs, and over a motorcycle and its jobs."""
    assert expected == told(yard, typed)


def test_a_label_or_its_address_leads_to_its_job(yard: Workshop) -> None:
    """As it is printed, in groups, or as a telephone copies it."""
    token = yard.record("2").token

    assert (
        ["job 2 by label"] == told(yard, f"{token[:5]}-{token[5:10]}") == told(yard, f"http://localhost:8080/r/{token}")
    )
    assert ["W-2 by number"] == told(yard, "http://localhost:8080/w/W-2")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("x", "“x”: write at least three letters or digits of it"),
        ("- /", "“- /”: write at least three letters or digits of it"),
        ("  ", "nothing was typed; write at least three letters or digits of it"),
        ("a" * 201, "at most 200 characters are looked for at once"),
        (
            "one two three four five six seven eight nine",
            "at most 8 words are looked for at once; leave out the common ones",
        ),
        (
            "spa\u200bcer",
            "what is looked for: sign 4 is U+200B (zero width space), which nobody sees; write it without",
        ),
    ],
)
def test_what_cannot_be_looked_for_is_said_in_one_sentence(yard: Workshop, typed: str, says: str) -> None:
    """And nothing is shown."""
    with pytest.raises(Refused) as caught:
        find(yard, typed, MECHANIC)

    assert str(caught.value).startswith(says)


def test_a_reason_tells_the_passage_with_its_day_and_entry(yard: Workshop) -> None:
    """What was struck says so; a long text is cut around what was looked for."""
    (creaks,) = find(yard, "creaks", MECHANIC).hits
    written = f"{'so much was written here ' * 9}then the qwxyz {'and more ' * 9}"
    play(yard, f"2031-04-04 10:00 job 3 brake-tried yes: {written}by P-2")
    (long,) = find(yard, "qwxyz", MECHANIC).hits

    assert "remark, 2031-04-03, struck since: it creaks" == creaks.whys[0].told
    assert ("Chain and sprockets, Kestrel 500, black", "V-4") == (creaks.title, creaks.vehicle)
    assert "…" == long.whys[0].says[0] == long.whys[0].says[-1]
    assert "then the qwxyz and more" in long.whys[0].says


def test_the_newest_comes_first_and_there_may_be_more(yard: Workshop) -> None:
    """So many as were asked for, and it says that there are others."""
    two = find(yard, "sprockets", MECHANIC, most=1)
    all_ = find(yard, "sprockets", MECHANIC)

    play(yard, "2031-04-04 09:00 job 3 brake-tried yes: the qw-xy hose by P-2")
    play(yard, "2031-04-04 09:30 job 2 brake-tried yes: a qwxy hose by P-2")

    assert ["job 2 by remark", "job 3 by remark"] == told(yard, "qw-xy")
    assert (["job 3"], True) == ([hit.name for hit in two.hits], two.more)
    assert (["job 3", "job 2"], False) == ([hit.name for hit in all_.hits if hit.noun == "job"], all_.more)
    assert "There is more than is shown; add a word." == two.says
    assert (
        "Nothing is found by “nothing of it”. Try fewer words, or a part of one."
        == find(yard, "nothing of it", MECHANIC).says
    )


def test_what_is_shown_of_anybody_is_kept_and_nothing_else(yard: Workshop) -> None:
    """A plate that led to a job is disclosed as well; a tag is nobody's."""
    for typed in ("merlin", "creaks", "V-4", "xab", "barnaby", "xab missing", "0660 1234567"):
        find(yard, typed, MECHANIC)
    expected = [
        ("vehicle/V-1", ("mobile",)),
        ("vehicle/V-4", ("plate",)),
        ("person/P-2", ("name",)),
        ("vehicle/V-4", ("plate",)),
    ]

    assert expected == [(each.subject, each.shown) for each in disclosures_of(yard, "", 99)]
    assert {("P-2", "page")} == {(each.by, each.door) for each in disclosures_of(yard, "", 99)}


def test_whoever_may_be_shown_nothing_finds_nothing(yard: Workshop) -> None:
    """An owner has their own page."""
    end_person(yard, "P-3", None, "", FOREMAN)
    for by in ("owner", "P-3", "P-77"):
        with pytest.raises(Refused):
            find(yard, "xab", Say(by))

    assert [] == disclosures_of(yard, "", 99)
    assert ["V-4 by plate"] == told(yard, "xab", Say("setup"))


def test_what_was_changed_or_erased_is_found_no_more(yard: Workshop) -> None:
    """A plate by the new one, a name by the new one, erased words by none; all else as before."""
    change_vehicle(yard, "V-4", VehicleChange(personal={"plate": "NEW 77"}), FOREMAN)
    change_person(yard, "P-2", PersonChange(name="Benedict Sample"), FOREMAN)
    (entry,) = [why.entry for hit in find(yard, "missing", MECHANIC).hits for why in hit.whys]
    erase_words(yard, [entry], "it was nobody's", FOREMAN)

    assert ([], [], []) == (told(yard, "xab"), told(yard, "barnaby"), told(yard, "missing"))
    assert (["V-4 by plate"], ["P-2 by name"]) == (told(yard, "new77"), told(yard, "benedict"))
    forget(yard, "vehicle/V-4")
    assert ([], []) == (told(yard, "new77"), told(yard, "mussig"))
    assert ["V-4 by tag"] == told(yard, "kestrel black")
    assert [] == yard.book.verify()


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    typed=st.one_of(
        st.text(max_size=30),
        st.lists(st.sampled_from(PIECES), min_size=1, max_size=5).map(" ".join),
        st.text("vwpd0123456789-+()/ #.%_*\"'", max_size=20),
    )
)
def test_whatever_is_typed_is_answered_or_refused_in_a_sentence(yard: Workshop, typed: str) -> None:
    """Nothing that is typed is a fault, and each hit says why it was found."""
    try:
        found = find(yard, typed, MECHANIC)
    except Refused:
        return
    assert all(hit.whys and hit.name for hit in found.hits)
    assert found.hits or found.says


def test_where_a_word_begins_so_comes_before_what_holds_it_within(yard: Workshop) -> None:
    """Whoever types red means no “secured”, however new that is, and no Alfred: he is shown to nobody for it."""
    add_vehicle(yard, "Heron 300, red", "Heron 300", 2030, {}, FOREMAN)
    add_vehicle(yard, "Heron 300, blue", "Heron 300", 2030, {"contact": "Alfred Vorlage"}, FOREMAN)
    play(yard, "2031-04-04 10:00 job 3 brake-tried yes: pads secured by P-2")

    assert "V-5 by tag" == told(yard, "red")[0]
    assert {"V-6 by contact", "job 3 by remark"} <= {*told(yard, "red")[1:]}
    shown = disclosures_of(yard, "", 9)
    found = find(yard, "red", MECHANIC, 1)
    assert (["V-5"], True) == ([hit.name for hit in found.hits], found.more)
    assert shown == disclosures_of(yard, "", 9)


def test_two_common_words_lead_to_where_they_meet(yard: Workshop) -> None:
    """However many motorcycles have one of them alone."""
    for nth in range(30):
        add_vehicle(yard, f"Heron {'green' if nth % 2 else 'yellow'} {nth}", "Heron", 2030, {}, FOREMAN)

    assert ["V-19 by tag"] == told(yard, "heron yellow 14")
    assert 15 == len(find(yard, "heron green", MECHANIC).hits)
    assert [] == told(yard, "heron green yellow")


def test_a_device_and_a_program_are_found_by_what_they_are_called(yard: Workshop) -> None:
    """With their numbers, by which they are withdrawn."""
    admit(yard, invite(yard, FOREMAN, "tablet of the hall").code)
    let_in(yard, FOREMAN, "accounts of the hall", ProgramRole.READS, yard.today())

    found = [(hit.name, hit.title) for hit in find(yard, "hall", MECHANIC).hits]
    assert [("A-1", "accounts of the hall"), ("D-1", "tablet of the hall")] == found
