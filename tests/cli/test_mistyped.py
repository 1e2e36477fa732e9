"""A mistyped command, option or word is refused with the one that was probably meant, and nothing is recorded."""

import subprocess
from collections.abc import Callable

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("fastner", "tighten"), 2, "fastner: no such command; did you mean `torqueaudit fastener`?"),
        (("tighten", "1"), 2, "tighten: no such command; did you mean `torqueaudit fastener tighten`?"),
        (("tigten", "1"), 2, "tigten: no such command; did you mean `torqueaudit fastener tighten`?"),
        (
            ("fastener", "tigten"),
            2,
            "tigten: `torqueaudit fastener` has no such command; did you mean `torqueaudit fastener tighten`?",
        ),
        (
            ("job", "tighten", "1"),
            2,
            "tighten: `torqueaudit job` has no such command; did you mean `torqueaudit fastener tighten`?",
        ),
        (("calibrate", "W-1"), 2, "calibrate: no such command; did you mean `torqueaudit wrench calibrate`?"),
        (("chain", "waer"), 2, "waer: `torqueaudit chain` has no such command; did you mean `torqueaudit chain wear`?"),
        (("quux",), 2, "quux: no such command; `torqueaudit --help` lists them"),
        (("job", "zebra"), 2, "zebra: `torqueaudit job` has no such command; `torqueaudit job --help` lists them"),
        (
            ("job", "open", "--odomter", "12 km"),
            2,
            '--odomter: `torqueaudit job open` has no such option; did you mean "--odometer"?',
        ),
        (
            ("job", "list", "--zebra"),
            2,
            "--zebra: `torqueaudit job list` has no such option; known are --help, --json",
        ),
        (
            ("job", "open", "--vehicle", "V-1", "--procedure", "axel"),
            1,
            'axel: no such procedure; did you mean "axle"?',
        ),
        (
            ("fastener", "mark", "1", "rear-axel-nut", "intact"),
            1,
            'rear-axel-nut: job 1 has no such fastener; did you mean "rear-axle-nut"?',
        ),
        (("fastener", "mark", "1", "rear-axle-nut", "intakt"), 2, 'intakt: did you mean "intact"?'),
        (("person", "add", "Somebody", "--role", "forman"), 2, '--role forman: did you mean "foreman"?'),
        (
            ("person", "add", "Somebody", "--role", "boss"),
            2,
            "--role boss: write “mechanic” or “trainee” or “foreman”",
        ),
        (
            ("label", "1", "--stock", "a4-3x9", "--out", "label.pdf"),
            2,
            "there is no label stock 'a4-3x9'; did you mean \"a4-3x8\"?",
        ),
        (
            ("label", "1", "--kind", "ownr", "--stock", "a4-3x8", "--out", "label.pdf"),
            2,
            'ownr: no such kind of label; did you mean "owner"?',
        ),
        (
            ("settings", "change", "--block", "final-drive", "--by", "P-1"),
            1,
            'final-drive: no such plugin is installed; did you mean "final_drive"?',
        ),
        (
            ("settings", "change", "--zone", "Europe/Viena", "--by", "P-1"),
            1,
            'Europe/Viena: no such time zone; did you mean "Europe/Vienna"?',
        ),
        (
            ("vehicle", "loosened", "V-1", "rear-axel-nut", "--why", "tyre changed elsewhere"),
            1,
            'rear-axel-nut: no job of V-1 knows it; did you mean "rear-axle-nut"?',
        ),
    ],
)
def test_what_was_probably_meant_is_said(run: Run, words: tuple[str, ...], code: int, says: str) -> None:
    """One sentence, and the ledger stands where it stood."""
    for early in (
        ("job", "open", "--vehicle", "V-1", "--procedure", "axle"),
        (
            *("fastener", "tighten", "1", "rear-axle-nut", "--wrench", "W-1", "--shown", "98 N·m"),
            *("--outcome", "turned, then clicked"),
        ),
    ):
        run(*early).check_returncode()
    before = run("ledger", "head").stdout

    result = run(*words)

    assert (code, says) == (result.returncode, result.stderr.strip())
    assert before == run("ledger", "head").stdout


def test_a_word_that_many_commands_have_names_them_all(run: Run) -> None:
    """`show` alone says nothing of what."""
    says = run("show", "1").stderr

    assert "`torqueaudit job show`" in says
    assert "`torqueaudit wrench show`" in says
