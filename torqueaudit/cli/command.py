"""What to type: the command of an act that comes next, and of what a sentence refers to.

"…" is for whoever types it to fill in.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

from torqueaudit.model.act import See, Topic
from torqueaudit.model.judged.next import Next
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.job import JobView

if TYPE_CHECKING:
    from torqueaudit.book.errors import BookError
    from torqueaudit.model.act import Refused

READ = ' --odometer "… km"'  # by a vehicle that has another instrument, or none, as `commands_of` puts it
SHOWN = '--wrench W-… --shown "… N·m"'  # what this wrench is set to is not known here: `torqueaudit setting` says it


def commands_of(view: JobView) -> list[str]:
    """The command of each thing that comes next on a job; "" where a record is nothing to be typed."""
    read = f' --odometer "… {view.instrument.unit}"' if view.instrument.unit else ""
    told = (command_of(view.number, each.answer) if each.answer else "" for each in view.to_do)
    return [each.replace(READ, read) for each in told]


def command_of(job: str, said: Next) -> str:
    """The command that records an act on a job; "" for one that is typed by nobody."""
    written = WRITTEN.get(said.act)
    return f"torqueaudit {written(job, said)}" if written else ""


def _tighten(job: str, said: Next) -> str:
    stage = [f"--stage {said.stage}"] if said.stage else []
    adapter = ["--adapter …@…"] if said.adapter else []
    angle = ["--angle …"] if said.angle else []
    return " ".join([f"fastener tighten {job} {said.key}", *stage, SHOWN, *adapter, *angle, '--outcome "…"'])


def _loosen(job: str, said: Next) -> str:
    return f'fastener loosen {job} {said.key} --why "…"'


def _confirm_logged(job: str, said: Next) -> str:
    return f"fastener confirm {job} {said.key} --by P-…"


def _mark(job: str, said: Next) -> str:
    seen = '"…"   (intact, disturbed, unreadable)' if said.look else "intact"
    return f"fastener mark {job} {said.key} {seen}"


def _photograph(job: str, said: Next) -> str:
    return f"photo add {job} {said.key} FILE"


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


def _open(job: str, said: Next) -> str:
    return f"job open --follows {job}{_only(said.only or (said.key,))}"


def _only(keys: Iterable[str]) -> str:
    return "".join(f" --only {key}" for key in keys)


def _release(job: str, _: Next) -> str:
    return f"job release {job} --by P-…"


def _hand_over(job: str, _: Next) -> str:
    return f"job hand-over {job}{READ}"


def _recheck(job: str, _: Next) -> str:
    return f"recheck done {job}{READ}"


def _answer_recheck(job: str, _: Next) -> str:
    return f'recheck answered {job} "…"   (in order, or fault found --remark "…")'


WRITTEN: Mapping[ActName, Callable[[str, Next], str]] = {
    ActName.OPEN: _open,
    ActName.TIGHTEN: _tighten,
    ActName.CONFIRM_LOGGED: _confirm_logged,
    ActName.LOOSEN: _loosen,
    ActName.MARK: _mark,
    ActName.PHOTOGRAPH: _photograph,
    ActName.CHECK: _check,
    ActName.MEASURE: _measure,
    ActName.STEP: _step,
    ActName.FIT: _fit,
    ActName.RELEASE: _release,
    ActName.HAND_OVER: _hand_over,
    ActName.RECHECK: _recheck,
    ActName.ANSWER_RECHECK: _answer_recheck,
}


def typed(says: str, see: See | None) -> str:
    """A sentence that ends with the command for what it refers to."""
    return f"{says}{TYPED[see.topic].format(of=see.of, only=_only(see.only))}" if see else says


def refusal(error: "Refused | BookError") -> str:
    """Why nothing was done, with what to type; the stops that forbid it each on a line."""
    from torqueaudit.workshop.jobs.release import StopsStand

    says = typed(error.says, error.see)
    if not isinstance(error, StopsStand):
        return says
    return "\n".join([f"{says}:", *(f"  {typed(each.sentence, each.see)}" for each in error.standing)])


TYPED: Mapping[Topic, str] = {
    Topic.JOBS: "; `torqueaudit job list` shows them",
    Topic.VEHICLES: "; `torqueaudit vehicle list` shows them",
    Topic.WRENCHES: "; `torqueaudit wrench list` shows them",
    Topic.PROCEDURES: "; `torqueaudit procedure list` shows them",
    Topic.DEVICES: "; `torqueaudit device list` shows them",
    Topic.PROGRAMS: "; `torqueaudit program list` shows them",
    Topic.PEOPLE: "; `torqueaudit person list` shows who does",
    Topic.PLUGINS_INSTALLED: "; `torqueaudit plugins` lists them",
    Topic.PLUGINS_LOADED: "; `torqueaudit plugins` shows them",
    Topic.STOPS_OF_JOB: "; `job show {of}` says each in full",
    Topic.ENTRIES_OF_JOB: "; `job show {of}` gives their numbers",
    Topic.ENTRIES_OF_WRENCH: "; `torqueaudit wrench show {of}` numbers them",
    Topic.LEDGER: "; `torqueaudit ledger show` numbers them",
    Topic.STRIKING: "; `torqueaudit job strike {of} --why …` strikes it",
    Topic.HOUR_OF_LOOK: "; `torqueaudit wrench hour {of} 14:30` tells its hour",
    Topic.WITHDRAWING_A_WRENCH: "; `torqueaudit wrench withdraw {of}` instead",
    Topic.OVERLOADED_WRENCH: ": `torqueaudit wrench overloaded {of} --why …` puts it aside.",
    Topic.SETTING: " `torqueaudit setting` gives the setting.",
    Topic.SUPERVISOR: "; give --supervisor",
    Topic.NEW_SUPERVISOR: "; a foreman names another one first: `torqueaudit person change {of} --supervisor P-…`",
    Topic.ANOTHER_FOREMAN: "; make somebody else foreman first: `torqueaudit person change {of} --role foreman`",
    Topic.FAULT: " with --remark",
    Topic.NOT_APPLICABLE: "; say with --remark why it is not applicable here",
    Topic.DRAG: ", and give it as --drag",
    Topic.CONDITION: "; if it was taken there, say so with --condition “{of}”",
    Topic.ARRIVAL: "; if it is here again, add --here, or say `torqueaudit vehicle arrived {of} --odometer …`",
    Topic.SURE: "; if it is so, add --sure",
    Topic.GONE_WITH_STOPS: "; if it is gone all the same, add --sure",
    Topic.RECHECK_DAY: " with --recheck-by",
    Topic.REPLACED: "; if its instrument was replaced, `torqueaudit vehicle instrument {of}` says so",
    Topic.EXCHANGED: "; if the instrument was replaced, `torqueaudit vehicle instrument {of}` says so; if it is so all "
    "the same, add --sure",
    Topic.VEHICLE_HAS: "; if not, `torqueaudit vehicle change {of}` puts that one right first",
    Topic.AGAIN: " If it was done again, add --again.",
    Topic.ADAPTER: " with --adapter, or add --no-adapter if none was on the wrench",
    Topic.FOLLOW_UP: ": `torqueaudit job open --follows {of}{only}` opens it.",
    Topic.SECOND: "; if this is another one, add --second",
    Topic.WITH_STOPS: "; if it leaves with them all the same, add --with-stops and --why",
    Topic.CAPITALS: "; choose --lower-case-labels, or an address whose path is in capitals or that has none",
    Topic.ADDRESS: "; `settings change --address …` sets what labels open",
    Topic.TELEPHONE: "; set it by `settings change --telephone …`",
    Topic.CONTACT: "; ask for another address, and tell it by `torqueaudit vehicle contact {of} --mail … --consent`",
    Topic.PUBLISHED: "; after `settings change --labels-published` a mail is answered instead",
    Topic.MAIL: "; `settings change --mail …` sets where owners write to",
    Topic.KIND_OF_LABEL: "; its label is printed with --kind {of}",
    Topic.STOCKS: "; `torqueaudit label stocks` lists them",
    Topic.NEW_BOOK: "; make one with `torqueaudit new`, or give the right file.",
    Topic.FILE_OF_BOOK: "; give the file that `torqueaudit new` made.",
    Topic.SHORTER: ", or say that what it has not is lost: --shorter --why … --by P-…",
    Topic.TOLD_UNREAD: ": give the newest head that you have on paper with --head, or say that what the backup has "
    "not is lost: --shorter --why … --by P-…",
    Topic.SEALING: "; `torqueaudit nightly` seals it",
    Topic.NIGHTS: " Look why; `torqueaudit nightly --since-last` audits them.",
    Topic.BACKUP: " `torqueaudit book backup FILE` makes one, `torqueaudit install-units` has one made each day.",
    Topic.PIN: " `torqueaudit person pin {of}` sets one.",
    Topic.LOCKED: "; `torqueaudit person unlock {of}` unlocks it.",
    Topic.WITHDRAWING_A_DEVICE: ": `torqueaudit device withdraw {of} --why …`",
    Topic.UNREAD: "; `torqueaudit ledger strike {of} --why …` strikes it.",
    Topic.DAMAGE: "; keep it as it is: `torqueaudit book repair {of} --out NEW` reads out what is sound. Go on from "
    "the newest backup with `torqueaudit book restore FILE`.",
    Topic.VERIFYING: ", and run `torqueaudit ledger verify` today.",
    Topic.MOVED: "; if this is said again, run `torqueaudit ledger verify`, for the book may be damaged.",
}
