"""`torqueaudit person`, as a foreman types it when somebody is given another role, comes back, or leaves."""

import subprocess
from collections.abc import Callable

Run = Callable[..., subprocess.CompletedProcess[str]]


def lines(done: subprocess.CompletedProcess[str]) -> list[str]:
    """What was printed, of a command that did what it was asked."""
    assert 0 == done.returncode, done.stderr
    return done.stdout.splitlines()


def test_somebody_leaves_and_the_list_says_so(run: Run) -> None:
    """Whoever is a trainee of theirs is named with what to type."""
    told = run("person", "end", "P-2", "--on", "2025-03-31", "--why", "moved away", "--by", "P-1")

    assert [
        "P-2: left on 2025-03-31; records and signs nothing more",
        (
            "P-4 has nobody now who answers for the work, and records nothing until another is named: "
            "`torqueaudit person change P-4 --supervisor P-…`"
        ),
        "Look at #12, #14: told under P-2 of a day after that. Ask who did it.",
    ] == lines(told)
    assert [
        "P-1    Ottoline Sample          foreman",
        "P-2    Barnaby Sample           mechanic; LEFT on 2025-03-31 (moved away)",
        "P-3    Cressida Sample          mechanic",
        "P-4    Dunstan Sample           trainee; supervisor P-2, WHO HAS LEFT: name another",
    ] == lines(run("person", "list"))


def test_an_act_of_who_has_left_is_refused_in_one_sentence(run: Run) -> None:
    """Exit code 1, and nothing is recorded."""
    lines(run("person", "end", "P-2", "--by", "P-1"))
    before = lines(run("ledger", "head"))
    done = run("vehicle", "add", "bike-4", "--model", "Kestrel 500", "--by", "P-2")

    assert 1 == done.returncode
    assert 1 == len(done.stderr.splitlines())
    assert (
        "and who has left records and signs nothing; whoever knows of it says it under their own number" in done.stderr
    )
    assert before == lines(run("ledger", "head"))


def test_the_last_foreman_is_told_what_to_type_first(run: Run) -> None:
    """Ended, given another role, or forgotten alike."""
    says = (
        "P-1 is the only foreman, and somebody has to release and keep the wrenches; make somebody else foreman first: "
        "`torqueaudit person change P-2 --role foreman`\n"
    )
    for words in (("end", "P-1", "--by", "P-1"), ("change", "P-1", "--role", "mechanic", "--by", "P-1")):
        assert says == run("person", *words).stderr
    assert says == run("person", "forget", "P-1", "--yes").stderr
    assert ["P-2: foreman"] == lines(run("person", "change", "P-2", "--role", "foreman", "--by", "P-1"))
    assert lines(run("person", "end", "P-1", "--by", "P-1"))[0].startswith("P-1: left on")


def test_roles_supervisor_name_and_first_day_are_changed_in_one_command(run: Run) -> None:
    """Several roles, the options of what goes and of what comes."""
    words = ("--role", "mechanic", "--role", "foreman", "--no-supervisor", "--name", "Dunstan Specimen")
    told = run("person", "change", "P-4", *words, "--start", "2031-04-01", "--by", "P-1")

    assert ["P-4: mechanic+foreman; since 2031-04-01; the name is changed"] == lines(told)
    assert "P-4    Dunstan Specimen         mechanic+foreman; since 2031-04-01" == lines(run("person", "list"))[-1]


def test_nothing_to_change_and_both_supervisors_are_wrong_use(run: Run) -> None:
    """Exit code 2, with what to give."""
    nothing = run("person", "change", "P-4", "--by", "P-1")
    both = run("person", "change", "P-4", "--supervisor", "P-3", "--no-supervisor", "--by", "P-1")

    assert (2, 2) == (nothing.returncode, both.returncode)
    assert "say what changes: --role, --supervisor, --no-supervisor, --name or --start" in nothing.stderr
    assert "give --supervisor or --no-supervisor, not both" in both.stderr


def test_whoever_forgets_somebody_is_told_which_words_stay(run: Run) -> None:
    """Remarks and reasons told under the number may name others, and each entry is erased by its number."""
    lines(run("wrench", "dropped", "W-1", "--why", "the stand slipped", "--by", "P-3"))
    lines(run("wrench", "dropped", "W-2", "--why", "and again", "--by", "P-3"))
    told = lines(run("person", "forget", "P-3", "--yes"))
    first = int(run("ledger", "head").stdout.split("/")[1]) - 2

    assert [
        "P-3: the name is erased; who had it has left, and signs nothing more under P-3",
        f"Remarks and reasons told by P-3 stay in 2 entries: #{first}, #{first + 1}.",
        f"Look at them, and erase what names somebody: `torqueaudit ledger erase-words {first} --why …`",
    ] == told
    lines(run("ledger", "erase-words", f"#{first}", str(first + 1), "--why", "asked for", "--by", "P-1"))
    assert ["P-3: the name is erased; who had it has left, and signs nothing more under P-3"] == lines(
        run("person", "forget", "P-3", "--yes")
    )


def test_whoever_is_forgotten_has_left_without_anybody_saying_so(run: Run) -> None:
    """No number of who erases it is asked for; one may be given, and is then held against the permits."""
    told = run("person", "forget", "P-3", "--yes")
    refused = run("person", "forget", "P-2", "--yes", "--by", "P-2")

    assert ["P-3: the name is erased; who had it has left, and signs nothing more under P-3"] == lines(told)
    assert "P-2 is mechanic; only a foreman or setup may do this\n" == refused.stderr
    assert "(the name was erased)" in lines(run("person", "list"))[2]
