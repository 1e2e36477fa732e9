"""`review_procedure`: what is doubtful about a value is told where the value matters."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.bench.answer import bench_setting
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.procedures import remarks_of

Written = Callable[..., Plugins]
Stops = Callable[[Plugins], list[str]]


REMARK = """from torqueaudit.plugin import Remark, Weight, subject_of
@hookimpl
def review_procedure(procedure):
    return [Remark("odd/odd", Weight.STOP, subject_of(each), "odd.") for each in procedure.fasteners()]
"""


def test_review_procedure_is_told_wherever_the_value_matters(book_file: Path, ready: str, written: Written) -> None:
    """When it is entered, at the bench, and as a finding of the job's opening, which a concession covers."""
    plugins = written(odd=REMARK)
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        play(workshop, ready)
        (found,) = [each.finding for each in show_job(workshop, "1").findings if each.finding.rule == "odd/odd"]
        at_bench = bench_setting(workshop, "1", "rear-axle-nut", "W-1").cautions
        stopped = findings(workshop, weight="stop")
        play(
            workshop, "2031-04-02 10:12 conceded odd on rear axle nut until 2031-05-01: asked the maker, 1 ride by P-1"
        )

        assert [("odd/odd", "rear axle nut: odd.")] == [(e.rule, e.says) for e in remarks_of(workshop, "axle")]
        assert ("rear axle nut", workshop.record("1").opened.entry) == (found.subject, found.entry)
        assert (["rear axle nut: odd."], "rear axle nut: odd.") == (stopped, at_bench[0])
        assert [] == findings(workshop, weight="stop")


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("return 1 / 0", "broke while it looked at this procedure (ZeroDivisionError: division by zero)"),
        ("return [procedure]", "answered with something that is not a list of remarks"),
    ],
)
def test_a_plugin_that_breaks_over_a_procedure_is_a_stop(
    stops: Stops, book_file: Path, written: Written, code: str, says: str
) -> None:
    """Told at the bench and when the procedure is entered as well; nobody knows what it would have doubted."""
    plugins = written(odd=f"@hookimpl\ndef review_procedure(procedure):\n    {code}")
    said = f"plugin odd: {says}"
    expected = f"{said}. What it would have found is not known; mend it before release."

    assert [said] == stops(plugins)
    with open_workshop(book_file, clock=Clock("2031-04-02 12:00"), plugins=plugins) as workshop:
        assert expected == bench_setting(workshop, "1", "rear-axle-nut", "W-1").cautions[0]
        assert [expected] == [each.says for each in remarks_of(workshop, "axle")]
