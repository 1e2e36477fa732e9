"""A procedure on pages: typed from a printed page, pasted, shown as at the bench, entered, and read value by value."""

from typing import Any

import pytest

from torqueaudit.workshop.register.drafts import drafts, look_at_draft

SOURCE = {"document": "Heron 300 manual", "edition": "2", "model": "Heron 300", "years": "2028 – 2031"}
NUT = {"name": "swing arm nut", "page": "7-2", "torque": "88 N·m", "tolerance": "10 %", "mark": "yes"}
TABLE = """
Fastener\tTorque\tTolerance\tPage\tWitness mark\tHow many
link bolt\t45 N·m\t5 %\t7-9\tx
pinch bolt\t20 Nmm\t\t7-3\t\t2
""".strip()


@pytest.fixture
def draft(desk: Any) -> Any:
    """A draft with its source and one nut, at its page."""
    desk.open("office/procedures").tap("Begin", title="Swing arm")
    desk.follow("Add a source").tap("Keep it", **SOURCE)
    return desk.follow("Add a fastener").tap("Keep it", **NUT)


def test_a_procedure_is_typed_entered_and_read_value_by_value(draft: Any, let_in: Any, yard: Any) -> None:
    """Without a text in between; whoever entered it does not read it, and whoever reads it ticks each value."""
    draft.tap("Enter it")
    entered = draft.address.rpartition("/")[2]
    assert (200, True) == (draft.status, "You entered it, so somebody else reads it" in draft.text)
    assert [] == drafts(yard.workshop)
    reader = let_in("phone").sign_in("P-2").open(f"procedure/{entered}")
    assert "Heron 300 manual, page 7-2" in reader.text
    assert "Office" not in reader.text
    reader.tick("I have read every value against its source", left=1)
    assert (422, True) == (reader.status, "1 of 8 are not ticked yet" in reader.text)
    reader.tick("I have read every value against its source")
    assert (200, True) == (reader.status, "Read against its source by P-2" in reader.text)
    assert "P-2" == yard.workshop.procedure(yard.workshop.full_digest(entered)).read_by


def test_what_is_wrong_is_kept_and_said_at_its_field(draft: Any, yard: Any) -> None:
    """On the form, and in the draft; it is not entered so."""
    draft.follow("Add a measurement").tap("Keep it", name="axle run-out", max="0,15 mmm")
    assert draft.address.endswith("/office/draft/swing-arm/work-2")
    assert "Kept." in draft.text
    assert 'value="0,15 mmm"' in draft.page
    said = draft.page.partition('id="page-wrong">')[2].partition("<")[0]
    draft.open("office/draft/swing-arm")

    assert "Is missing." == said
    assert ("Enter it" in draft.text, "to put right before it can be entered" in draft.text) == (False, True)
    assert look_at_draft(yard.workshop, "swing-arm").procedure is None


def test_a_table_is_looked_at_row_by_row_and_then_added(draft: Any, yard: Any) -> None:
    """What is wrong is told with the line it stands in; nothing is kept before it is added."""
    draft.follow("Paste a table").tap("Look at it", table=TABLE)
    assert "Line 2: link bolt" in draft.text
    assert "Line 3, torque “Nmm”" in draft.text.replace('"Nmm"', "“Nmm”")
    assert 1 == len([each for each in look_at_draft(yard.workshop, "swing-arm").pieces if each.table == "work"])
    draft.tap("Add 2 fasteners")
    work = [each.key for each in look_at_draft(yard.workshop, "swing-arm").pieces if each.table == "work"]

    assert ["swing-arm-nut", "link-bolt", "pinch-bolt"] == work
    assert {"45 N·m", "5 %", "7-9", True} <= set(look_at_draft(yard.workshop, "swing-arm").pieces[3].values.values())


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ("Fastener\tTorqe\nlink bolt\t45 N·m", "There is no column “torqe”; did you mean"),
        ("Fastener\tTorque", "Paste at least two lines"),
        ("Fastener\tName\nlink bolt\tpinch bolt", "Two columns are the name; leave one of them out"),
        (
            "Fastener,Torque\nlink bolt,45 N·m",
            "The columns stand between commas, which numbers hold too; copy the cells",
        ),
        ("Fastener\nlink bolt\t45 N·m", "Line 2: “45 N·m” stands in no column that has a name"),
    ],
)
def test_a_table_that_cannot_be_read_stays_with_why(draft: Any, table: str, says: str) -> None:
    """In one sentence, and what was pasted is there to be put right."""
    draft.follow("Paste a table").tap("Look at it", table=table)

    assert (422, True) == (draft.status, says in draft.text)
    assert table.splitlines()[0] in draft.page


def test_a_draft_is_seen_as_the_bench_shows_it(draft: Any) -> None:
    """The torque largest, the order drawn, what is asked for named."""
    draft.open("office/draft/swing-arm").follow("Add a fastener").tap(
        "Keep it", name="sprocket bolt", page="7-5", torque="40 … 50 N·m", count="5", pattern="cross", check="yes"
    )
    shown = draft.follow("See it as the bench shows it").text

    assert "1 of 2: tighten swing arm nut At the fastener 88 N·m" in shown
    assert "45 N·m" in shown
    assert "Order: 1 – 3 – 5 – 2 – 4." in shown
    assert "Asked: a second person looks at it." in shown
    assert "No re-check is planned" in shown


def test_a_piece_moves_and_goes_and_a_stale_page_changes_nothing(draft: Any, yard: Any) -> None:
    """Two who write one draft at once lose nothing."""
    draft.follow("Add a step").tap("Keep it", name="wheel turns", says="It turns free.")
    (form, button), page = draft.form_of("Take it out"), draft.address
    draft.tap("Earlier")
    draft.address = page
    draft.send(form, button, {})
    names = [each.name for each in look_at_draft(yard.workshop, "swing-arm").pieces if each.table == "work"]

    assert (422, True) == (draft.status, "by somebody else or in another window" in draft.text)
    assert ["wheel turns", "swing arm nut"] == names
    draft.open("office/draft/swing-arm").tap("Take it out")
    assert "swing arm nut" == look_at_draft(yard.workshop, "swing-arm").pieces[-1].name
    draft.tap("Throw it away")
    assert [] == drafts(yard.workshop)


def test_a_new_revision_is_shown_against_the_old(draft: Any) -> None:
    """As a difference of meaning, before it is entered and afterwards."""
    draft.tap("Enter it").tap("Write a new revision of it")
    draft.open("office/draft/swing-arm/work-1").tap("Keep it", torque="92 N·m")
    before = draft.text
    assert "It is called edition 1, as the one before was" in before
    draft.open("office/draft/swing-arm/head").tap("Keep it", edition="2")
    assert "as the one before was" not in draft.text
    after = draft.tap("Enter it").text

    told = "fastener: swing arm nut: torque “92 N·m”, before “88 N·m”"
    assert (True, True) == (told in before, told in after)


@pytest.mark.usefixtures("draft")
def test_a_mechanic_opens_no_draft(let_in: Any) -> None:
    """A foreman writes; whoever works here reads."""
    mechanic = let_in("phone").sign_in("P-2")

    assert [403, 403] == [mechanic.open(f"office/{page}").status for page in ("procedures", "draft/swing-arm")]


@pytest.mark.parametrize("sign", ["\u00ad", "\u200b"])
def test_a_sign_that_nobody_sees_is_refused_at_its_field_and_the_draft_stays(draft: Any, yard: Any, sign: str) -> None:
    """Such as a soft hyphen out of a PDF: kept, it would make a text that nobody can open again."""
    draft.follow("Add a fastener").tap("Keep it", name=f"pinch{sign} bolt", page="7-3", torque="20 N·m")
    said = draft.page.partition('id="name-wrong">')[2].partition("<")[0]
    assert (422, True) == (draft.status, said.startswith("Name: sign 6 is U+"))
    assert 'value="7-3"' in draft.page
    draft.open("office/draft/swing-arm/table").tap("Look at it", table=f"Fastener\tPage\npinch bolt\t7{sign}-3")
    assert "Line 2, page: sign 2 is U+" in draft.text
    draft.open("office/procedures").tap("Begin", title=f"Head{sign}light", name="headlight")

    assert (422, True) == (draft.status, "This cannot be kept in a draft" in draft.text)
    assert ["swing-arm"] == drafts(yard.workshop)
    assert 200 == draft.open("office/draft/swing-arm").status


def test_a_form_that_is_sent_twice_is_told_once(draft: Any, yard: Any) -> None:
    """As by a double click: both lead to where the first one led."""

    def twice(says: str, **typed: str) -> Any:
        (form, button), page = draft.form_of(says), draft.address
        first = draft.send(form, button, typed).address
        draft.address = page
        return first, draft.send(form, button, typed).address, draft.status

    draft.follow("Add a fastener")
    first, second, status = twice("Keep it", name="link bolt", page="7-9", torque="45 N·m", tolerance="5 %")
    assert (first, 200) == (second, status)
    assert ["swing arm nut", "link bolt"] == work_of(yard)
    draft.open("office/draft/swing-arm/table").tap("Look at it", table="Fastener\tPage\npinch bolt\t7-3")
    first, second, status = twice("Add 1 fastener")
    assert (first, 200) == (second, status)
    assert ["swing arm nut", "link bolt", "pinch bolt"] == work_of(yard)
    draft.open("office/draft/swing-arm/work-3").tap("Keep it", torque="20 N·m", tolerance="5 %")
    first, second, status = twice("Enter it")

    assert (first, 200, True) == (second, status, "/procedure/" in first)


def test_a_piece_that_moved_is_not_put_over_another_one(draft: Any, yard: Any) -> None:
    """The form of a page that was open meanwhile says what stands there, and is kept where its piece stands now."""
    draft.follow("Add a step").tap("Keep it", name="wheel turns", says="It turns free.")
    draft.open("office/draft/swing-arm/work-1")
    (form, button), page = draft.form_of("Keep it"), draft.address
    draft.open("office/draft/swing-arm").tap("Later")
    draft.open("office/draft/swing-arm/work-2").tap("Keep it", torque="90 N·m")
    draft.address = page
    draft.send(form, button, {"torque": "92 N·m", "page": "7-4"})
    said = (draft.status, "In the draft now: 90 N·m" in draft.text, draft.text.count("In the draft now"))
    draft.tap("Keep it")

    assert (422, True, 2) == said
    assert ["wheel turns", "swing arm nut"] == work_of(yard)
    assert "92 N·m" == look_at_draft(yard.workshop, "swing-arm").pieces[-1].values["torque"]


def test_a_piece_that_was_taken_out_meanwhile_can_be_kept_as_a_new_one(draft: Any, yard: Any) -> None:
    """What was typed of it is not lost."""
    draft.open("office/draft/swing-arm/work-1")
    (form, button), page = draft.form_of("Keep it"), draft.address
    draft.open("office/draft/swing-arm").tap("Take it out")
    draft.address = page
    draft.send(form, button, {"torque": "92 N·m"})
    refused = draft.status
    draft.tap("Keep it")

    assert (422, ["swing arm nut"]) == (refused, work_of(yard))


def test_what_somebody_else_typed_meanwhile_is_not_thrown_away(draft: Any, yard: Any) -> None:
    """A page that was open before says so."""
    (form, button), page = draft.form_of("Throw it away"), draft.address
    draft.follow("Add a step").tap("Keep it", name="wheel turns", says="It turns free.")
    draft.address = page
    draft.send(form, button, {})

    assert (422, True) == (draft.status, "in another window" in draft.text)
    assert ["swing-arm"] == drafts(yard.workshop)


def work_of(yard: Any) -> list[str]:
    """The names of the work of the draft, in its order."""
    return [each.name for each in look_at_draft(yard.workshop, "swing-arm").pieces if each.table == "work"]


def test_a_draft_of_sixty_pieces_is_a_light_page(draft: Any) -> None:
    """It is opened after each piece that is typed; 60 kB is what our pages may weigh."""
    rows = "".join(f"chain guard fastener {nth}\t{nth}9 N·m\t5 %\t8-{nth}\tM8x1.25\n" for nth in range(1, 60))
    draft.follow("Paste a table").tap("Look at it", table=f"Name\tTorque\tTolerance\tPage\tThread\n{rows}")
    draft.tap("Add 59 fasteners").open("office/draft/swing-arm")

    assert (200, True) == (draft.status, "chain guard fastener 59" in draft.text)
    assert 60_000 > len(draft.page.encode())


def test_the_page_of_a_piece_is_called_as_the_draft_calls_it(draft: Any) -> None:
    """Also those that are no work."""
    called = [draft.open(f"office/draft/swing-arm/{place}").page for place in ("head", "recheck", "work-1")]
    titles = [page.partition("<h1>")[2].partition("</h1>")[0] for page in called]

    assert ["Title, edition, warnings", "The re-check", "Fastener: swing arm nut"] == titles


def test_the_bench_says_of_the_thread_what_it_will_say(draft: Any) -> None:
    """In the words of its screen."""
    draft.open("office/draft/swing-arm/work-1").tap("Keep it", condition="oiled", direction="left")

    assert (
        "thread oiled · left-hand thread: it tightens anticlockwise" in draft.open("office/draft/swing-arm/bench").text
    )
