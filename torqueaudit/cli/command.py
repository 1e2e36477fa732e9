"""What to type: the command of an act that comes next, "…" for whoever types it to fill in."""

from collections.abc import Callable, Mapping

from torqueaudit.model.judged.next import Next
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.job import JobView

SHOWN = '--wrench W-… --shown "… N·m"'  # what this wrench is set to is not known here: `torqueaudit setting` says it


def commands_of(view: JobView) -> list[str]:
    """The command of each thing that comes next on a job; "" where a record is nothing to be typed."""
    return [command_of(view.number, each.answer) if each.answer else "" for each in view.to_do]


def command_of(job: str, said: Next) -> str:
    """The command that records an act on a job; "" for one that is typed by nobody."""
    written = WRITTEN.get(said.act)
    return f"torqueaudit {written(job, said)}" if written else ""


def _tighten(job: str, said: Next) -> str:
    stage = [f"--stage {said.stage}"] if said.stage else []
    angle = ["--angle …"] if said.angle else []
    return " ".join([f"fastener tighten {job} {said.key}", *stage, SHOWN, *angle, '--outcome "…"'])


def _loosen(job: str, said: Next) -> str:
    return f'fastener loosen {job} {said.key} --why "…"'


def _mark(job: str, said: Next) -> str:
    seen = '"…"   (intact, disturbed, unreadable)' if said.look else "intact"
    return f"fastener mark {job} {said.key} {seen}"


def _check(job: str, said: Next) -> str:
    return f'check record {job} {said.key} "…" --by P-…   (mark seen, watched)'


def _measure(job: str, said: Next) -> str:
    told = (
        f'--input "{each.name}=…{_unit(each.unit)}"' if each.name else f'"…{_unit(each.unit)}"' for each in said.asks
    )
    return f"measurement take {job} {said.key} {' '.join(told)}"


def _unit(unit: str) -> str:
    return f" {unit}" if unit else ""


def _step(job: str, said: Next) -> str:
    answer = '"…"   (in order, or fault --remark "…")' if said.look else "yes"
    return f"step done {job} {said.key} {answer}"


def _fit(job: str, said: Next) -> str:
    told = "".join(f' --attribute "{each.name}" …' for each in said.asks)
    return f'part fit {job} {said.key} "…"{told}'


WRITTEN: Mapping[ActName, Callable[[str, Next], str]] = {
    ActName.TIGHTEN: _tighten,
    ActName.LOOSEN: _loosen,
    ActName.MARK: _mark,
    ActName.CHECK: _check,
    ActName.MEASURE: _measure,
    ActName.STEP: _step,
    ActName.FIT: _fit,
}
