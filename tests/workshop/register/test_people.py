"""People corrected by an entry: another role, another supervisor, a right name, a first day, and the end."""

from datetime import date

import pytest

from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.model.register.people import Person
from torqueaudit.model.register.permits import acts_of
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.people import add_person, change_person, end_person, forget_person
from torqueaudit.workshop.wrenches.wrench import mishandle

FOREMAN, SETUP = Say("P-1"), Say("setup")
OPENED = """2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
"""
TIGHT = f"""{OPENED}2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
"""
LEFT = "left on 2031-04-02, and who has left records and signs nothing; whoever knows of it says it under their own"


def refused(workshop: Workshop, line: str) -> str:
    """What is said of a line of the card of job 1 that is not recorded."""
    before = workshop.book.head()
    with pytest.raises(Refused) as caught:
        play(workshop, line)

    assert before == workshop.book.head()
    return str(caught.value)


def ended(workshop: Workshop, number: str, on: date | None = None) -> None:
    """The foreman records that somebody has left."""
    end_person(workshop, number, on, "", FOREMAN)


@pytest.mark.parametrize(
    "line",
    [
        "job 1 rear-axle-nut checked mark seen by P-3",
        "job 1 rear-axle-nut loosened: once more by P-3",
        "job 1 rear-axle-nut mark disturbed by P-3",
        "job 1 handed over at 12010 km by P-3",
        "job 2 opened axle on V-2 by P-3",
        "V-1 rear-axle-nut reported loosened: seen in the yard by P-3",
    ],
)
def test_who_has_left_acts_no_more(workshop: Workshop, line: str) -> None:
    """Neither as a mechanic nor with what anybody may say; one sentence, whatever the act."""
    play(workshop, TIGHT)
    ended(workshop, "P-3")

    assert f"P-3 {LEFT}" in refused(workshop, f"2031-04-02 10:30 {line}")


def test_who_has_left_tells_nothing_late_either(workshop: Workshop) -> None:
    """What happened while they were here is told by somebody who still is."""
    play(workshop, TIGHT)
    ended(workshop, "P-3")

    assert f"P-3 {LEFT}" in refused(workshop, "2031-04-02 10:07 job 1 rear-axle-nut checked mark seen by P-3")
    assert [] == list(acts_of(workshop.person("P-3") or Person("P-3", ())))


def test_an_act_that_was_recorded_before_the_end_is_answered_as_before(workshop: Workshop) -> None:
    """A phone that sends it once more changes nothing."""
    say = Say("P-3", id="act-1")
    mishandle(workshop, "W-1", "dropped", "off the bench", say)
    ended(workshop, "P-3")
    head = workshop.book.head()
    mishandle(workshop, "W-1", "dropped", "off the bench", say)

    assert head == workshop.book.head()


def test_who_has_left_has_not_helped_since(workshop: Workshop) -> None:
    """But with what was done before, told late: who had a hand in it does not look at it as a second person."""
    play(workshop, OPENED)
    workshop.clock.set("2031-04-02 11:00")  # type: ignore[attr-defined]
    ended(workshop, "P-3")

    assert "P-3 left on 2031-04-02, so they cannot have helped with this; name who did" == refused(
        workshop, "2031-04-02 11:30 job 1 rear-axle-nut 108 N·m with W-1 helped by P-3 by P-2"
    )
    play(workshop, "2031-04-02 10:30 job 1 rear-axle-nut 108 N·m with W-1 helped by P-3 by P-2")

    assert {"P-2", "P-3"} == workshop.record("1").hands_on("rear-axle-nut")


def test_a_trainee_whose_supervisor_has_left_records_nothing_until_another_is_named(workshop: Workshop) -> None:
    """P-2 answered for the work of P-4."""
    play(workshop, OPENED)
    follows = end_person(workshop, "P-2", None, "", FOREMAN)
    line = "2031-04-02 10:05 job 1 rear-axle-nut 108 N·m with W-1 by P-4"

    assert ("P-4",) == follows.trainees
    assert (
        "P-4 is a trainee, and P-2, who answered for the work, left on 2031-04-02; a foreman names another supervisor "
        "first"
    ) == refused(workshop, line)
    change_person(workshop, "P-4", PersonChange(supervisor="P-3"), FOREMAN)
    play(workshop, line)

    assert {"P-4", "P-3"} == workshop.record("1").hands_on("rear-axle-nut")


def test_a_mechanic_whose_supervisor_has_left_goes_on_without_one(workshop: Workshop) -> None:
    """Nobody who has left answers for a new pass."""
    change_person(workshop, "P-2", PersonChange(supervisor="P-3"), FOREMAN)
    ended(workshop, "P-3")
    play(workshop, TIGHT)

    assert {"P-2"} == workshop.record("1").hands_on("rear-axle-nut")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (PersonChange(roles=("trainee",)), "a trainee has a supervisor who answers for the work; name that supervisor"),
        (PersonChange(roles=("trainee",), supervisor="P-4"), "P-4 is a trainee and cannot answer for another"),
        (PersonChange(roles=("trainee",), supervisor="P-3"), "P-3 cannot answer for their own work"),
        (PersonChange(supervisor="P-9"), "P-9: nobody of that number works here"),
        (PersonChange(supervisor="P-2"), "P-2 left on 2031-04-02 and answers for nobody; name a mechanic or foreman"),
        (PersonChange(roles=("owner",)), "owner: a role is mechanic, trainee or foreman"),
        (PersonChange(roles=()), "no role: a role is mechanic, trainee or foreman"),
        (PersonChange(roles=("mechanic",)), "P-3: nothing of this is new, so nothing is recorded"),
        (PersonChange(name="Cressida Sample"), "P-3: nothing of this is new, so nothing is recorded"),
        (PersonChange(), "P-3: nothing of this is new, so nothing is recorded"),
        (PersonChange(name="ottoline sample"), "ottoline sample: somebody of that name is entered already as P-1;"),
    ],
)
def test_what_cannot_be_of_somebody_is_refused(workshop: Workshop, change: PersonChange, says: str) -> None:
    """P-3 is a mechanic; P-2 has left."""
    ended(workshop, "P-2")
    with pytest.raises(Refused) as caught:
        change_person(workshop, "P-3", change, FOREMAN)

    assert says in str(caught.value)


def test_a_supervisor_does_not_become_a_trainee(workshop: Workshop) -> None:
    """First the trainee is given to somebody else."""
    with pytest.raises(Refused, match="P-2 answers for P-4, and a trainee cannot; name another supervisor first"):
        change_person(workshop, "P-2", PersonChange(roles=("trainee",), supervisor="P-3"), FOREMAN)
    change_person(workshop, "P-4", PersonChange(supervisor="P-3"), FOREMAN)

    assert ("trainee",) == change_person(workshop, "P-2", PersonChange(("trainee",), "P-3"), FOREMAN).roles


def test_roles_and_supervisor_are_entries_and_a_name_is_none(workshop: Workshop) -> None:
    """Of a name the ledger says that it is another one since then, and by whose word."""
    change_person(
        workshop, "P-4", PersonChange(("mechanic", "foreman"), "", date(2031, 4, 1), "Dunstan Specimen"), FOREMAN
    )
    told = workshop.book.entries("person/P-4")[-1]

    assert ("changed.1", "P-1") == (told.kind, told.who)
    assert {"roles": ["mechanic", "foreman"], "supervisor": "", "start": "2031-04-01", "renamed": True} == told.said
    assert "Dunstan Specimen" == workshop.book.personal_of("person/P-4")["name"]
    assert Person("P-4", ("mechanic", "foreman"), "", date(2031, 4, 1)) == workshop.person("P-4")


def test_only_what_is_new_stands_in_the_entry(workshop: Workshop) -> None:
    """The foreman types all of it once more."""
    change_person(workshop, "P-4", PersonChange(("trainee",), "P-3", name="Dunstan Sample"), FOREMAN)

    assert {"supervisor": "P-3"} == workshop.book.entries("person/P-4")[-1].said


def test_the_role_of_then_stays_with_what_was_recorded_then(workshop: Workshop) -> None:
    """A mechanic who is made foreman did the earlier work as a mechanic."""
    play(workshop, TIGHT)
    change_person(workshop, "P-2", PersonChange(roles=("foreman",)), FOREMAN)
    play(workshop, "2031-04-02 10:30 job 1 rear-axle-nut loosened: again by P-2")

    assert ["mechanic", "mechanic", "foreman"] == [fact.noted.role for fact in workshop.record("1").facts]


def the_only_foreman(workshop: Workshop, change: PersonChange | None) -> See | None:
    """What the refusal refers to where P-1 is ended, or changed."""

    def deed() -> object:
        if change is None:
            return end_person(workshop, "P-1", None, "", FOREMAN)
        return change_person(workshop, "P-1", change, FOREMAN)

    with pytest.raises(Refused, match="P-1 is the only foreman, and somebody has to release") as caught:
        deed()
    return caught.value.see


@pytest.mark.parametrize(
    "change",
    [None, PersonChange(roles=("mechanic",)), PersonChange(start=date(2031, 5, 1))],
    ids=["end", "role", "start"],
)
def test_the_last_foreman_stays_until_there_is_another(workshop: Workshop, change: PersonChange | None) -> None:
    """The refusal names a mechanic who could be made foreman; one who starts next month is none yet."""
    add_person(workshop, "Fordyce Sample", ("foreman",), "", FOREMAN, date(2031, 5, 1))

    assert See(Topic.ANOTHER_FOREMAN, "P-2") == the_only_foreman(workshop, change)
    ended(workshop, "P-2")

    assert See(Topic.ANOTHER_FOREMAN, "P-3") == the_only_foreman(workshop, change)
    change_person(workshop, "P-3", PersonChange(roles=("foreman",)), FOREMAN)
    ended(workshop, "P-1")

    assert "2031-04-02" == str(workshop.person("P-1").left.on)  # type: ignore[union-attr]


def test_where_nobody_else_is_a_mechanic_no_number_is_named(workshop: Workshop) -> None:
    """Somebody has to be entered first."""
    ended(workshop, "P-2")
    ended(workshop, "P-3")

    assert See(Topic.ANOTHER_FOREMAN, "P-…") == the_only_foreman(workshop, None)


@pytest.mark.parametrize(
    ("on", "says"),
    [
        (date(2031, 4, 3), "2031-04-03 has not come yet, and until then P-3 works here; say it on that day"),
        (None, "P-3 left on 2031-03-31 already (#"),
    ],
)
def test_an_end_is_told_once_and_not_before_its_day(workshop: Workshop, on: date | None, says: str) -> None:
    """It may be told days later."""
    if on is None:
        ended(workshop, "P-3", date(2031, 3, 31))
    with pytest.raises(Refused) as caught:
        ended(workshop, "P-3", on)

    assert says in str(caught.value)


@pytest.mark.parametrize("number", ["P-9", "V-1", "P-../1"])
def test_nobody_of_a_number_that_is_none(workshop: Workshop, number: str) -> None:
    """Neither changed nor ended nor forgotten."""
    for deed in (
        lambda: change_person(workshop, number, PersonChange(name="Somebody"), FOREMAN),
        lambda: ended(workshop, number),
        lambda: forget_person(workshop, number, SETUP),
    ):
        with pytest.raises(Refused, match="nobody of that number works here"):
            deed()


def test_what_was_told_of_a_day_after_somebody_left_is_named_and_stays_a_caution(workshop: Workshop) -> None:
    """P-3 left on 1 April, which was recorded on the 3rd; in between somebody looked under that number."""
    play(workshop, f"{TIGHT}2031-04-02 10:09 rear-axle-nut checked mark seen by P-3\n2031-04-03 08:00 clock")
    (check,) = (entry.sequence for entry in workshop.book.entries("job/1") if entry.what == "checked")
    follows = end_person(workshop, "P-3", date(2031, 4, 1), "", FOREMAN)

    assert (check,) == follows.entries
    assert [
        f"P-3: left on 2031-04-01; told under this number of a day after it: #{check}. Ask who did it."
    ] == findings(workshop, rule="workshop_rules/after-leaving")


def test_what_was_told_until_the_last_day_is_as_good_as_before(workshop: Workshop) -> None:
    """The work of that day counts."""
    play(workshop, f"{TIGHT}2031-04-02 10:09 rear-axle-nut checked mark seen by P-3\n2031-04-03 08:00 clock")
    follows = end_person(workshop, "P-3", date(2031, 4, 2), "", FOREMAN)

    assert () == follows.entries
    assert [] == findings(workshop, rule="workshop_rules/after-leaving")


def test_who_starts_later_records_nothing_before(workshop: Workshop, clock: Clock) -> None:
    """Neither now nor, once here, of a day before."""
    number = add_person(workshop, "Eudora Sample", ("mechanic",), "", FOREMAN, date(2031, 4, 7))
    play(workshop, TIGHT)
    line = f"job 1 rear-axle-nut checked mark seen by {number}"
    says = f"{number} starts on 2031-04-07, and this lies before it; look at the date"

    assert says == refused(workshop, f"2031-04-02 10:30 {line}")
    clock.set("2031-04-08 08:00")

    assert says == refused(workshop, f"2031-04-06 10:30 {line}")
    play(workshop, f"2031-04-07 10:30 {line}")


def test_a_new_start_brings_somebody_back_under_the_old_number(workshop: Workshop, clock: Clock) -> None:
    """Nobody has two numbers; and the earlier work of who is back is no odd one."""
    play(workshop, f"{TIGHT}2031-04-02 10:09 rear-axle-nut checked mark seen by P-3")
    ended(workshop, "P-3")
    with pytest.raises(
        Refused, match="entered already as P-3, who left on 2031-04-02 and whom a new start brings back"
    ):
        add_person(workshop, "Cressida Sample", ("mechanic",), "", FOREMAN)
    with pytest.raises(Refused, match="P-3 left on 2031-04-02; only a new start brings them back"):
        change_person(workshop, "P-3", PersonChange(roles=("foreman",)), FOREMAN)
    clock.set("2031-06-02 08:00")
    change_person(workshop, "P-3", PersonChange(roles=("foreman",), start=date(2031, 6, 1)), FOREMAN)
    play(workshop, "2031-06-02 08:30 job 1 released by P-3")

    assert [] == findings(workshop, rule="workshop_rules/after-leaving")


def test_the_name_of_who_has_left_is_still_put_right(workshop: Workshop) -> None:
    """Nothing else of them is."""
    ended(workshop, "P-3")
    change_person(workshop, "P-3", PersonChange(name="Cressida Specimen"), FOREMAN)

    assert "Cressida Specimen" == {row.number: name for row, name in people(workshop)}["P-3"]


def test_whoever_is_forgotten_has_left(workshop: Workshop) -> None:
    """The name goes, the number stays, and nobody records under it any more."""
    play(workshop, TIGHT)
    forget_person(workshop, "P-3", SETUP)
    left = workshop.person("P-3").left  # type: ignore[union-attr]

    assert {} == workshop.book.personal_of("person/P-3")
    assert left
    assert ("2031-04-02", "the name was erased") == (str(left.on), left.why)
    assert f"P-3 {LEFT}" in refused(workshop, "2031-04-02 10:30 job 1 rear-axle-nut checked mark seen by P-3")


def test_forgetting_who_has_left_changes_no_entry(workshop: Workshop) -> None:
    """That they left is recorded already."""
    ended(workshop, "P-3", date(2031, 4, 1))
    head = workshop.book.head()
    forget_person(workshop, "P-3", SETUP)

    assert head == workshop.book.head()
    assert {} == workshop.book.personal_of("person/P-3")


def test_the_last_foreman_is_not_forgotten(workshop: Workshop) -> None:
    """Who would release then?"""
    with pytest.raises(Refused, match="P-1 is the only foreman"):
        forget_person(workshop, "P-1", SETUP)

    assert "Ottoline Sample" == workshop.book.personal_of("person/P-1")["name"]


def test_the_lists_are_what_the_entries_say(workshop: Workshop) -> None:
    """Written anew they are the same."""
    change_person(workshop, "P-4", PersonChange(("mechanic",), ""), FOREMAN)
    ended(workshop, "P-3")
    rows = workshop.book.rows("select person, roles, supervisor from people order by person")
    workshop.book.rebuild()

    assert [] == workshop.book.verify()
    assert rows == workshop.book.rows("select person, roles, supervisor from people order by person")
    assert ["P-1", "P-2", "P-3", "P-4"] == [row.number for row, _ in people(workshop)]
