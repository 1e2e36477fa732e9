"""What a person can say of a job."""

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from torqueaudit.model.job.facts import Outcome, Slot
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.vehicle.instrument import Run


class Tighten(NamedTuple):
    """What a mechanic says of one pass; `stage` counts from 1, 0 is the last. Outcomes may differ by group number.

    `angle` are the degrees turned after the torque, `final_shown` the torque at their end, `slot` that of a castle nut.
    `slot_shown` is what the wrench showed when the nut stood at the next slot, or of one that clicks, what it was then
    set to without clicking. `drag` is what a self-locking nut needs to turn at all, "6 N·m", or the least and the most
    over a turn, "5 … 7 N·m"; `drag_wrench` read it, where that was another one. `no_adapter` says that none was on the
    wrench, although the procedure asks for one.
    """

    outcome: Outcome
    wrench: str = ""
    shown: str = ""
    fitted: tuple[Fitted, ...] = ()
    stage: int = 0
    thread_ok: bool = True
    helpers: tuple[str, ...] = ()
    differing: Mapping[int, Outcome] = {}
    angle: str = ""
    final_shown: str = ""
    slot: Slot | None = None
    slot_shown: str = ""
    drag: str = ""
    drag_wrench: str = ""
    no_adapter: bool = False


class Opening(NamedTuple):
    """What is said when a job is opened; `run` is what was read off the vehicle.

    `second` says that it is another one beside a job that is open by the same procedure on this vehicle. `only` are
    keys of the fasteners that it is of alone, a bolt of a group standing for the whole group. The vehicle is empty
    where it is that of the job it follows, and the procedure too where it is of some fasteners of that one alone.
    """

    vehicle: str
    procedure: str  # its name, its digest, or the first eight characters or more of it
    run: Run | None = None
    follows: str = ""
    second: bool = False
    only: tuple[str, ...] = ()


class Measure(NamedTuple):
    """What is said of one measurement.

    `written` is the value of a dimension ("25 mm"), or of a kind's only required input; `inputs` are pairs such as
    ("length", "287.6 mm ± 0.5 mm at link 40"), where uncertainty (expanded, k = 2) and place may be left out;
    `conditions` are pairs such as ("posture", "rider on"). `uncertainty` is the instrument's, "0.5 mm", for every
    reading in its unit that tells none of its own.
    """

    written: str = ""
    place: str = ""
    inputs: tuple[tuple[str, str], ...] = ()
    conditions: tuple[tuple[str, str], ...] = ()
    uncertainty: str = ""


class Part(NamedTuple):
    """A part fitted: what it is, its lot, and whether it was new; attributes as (name, value)."""

    part: str
    lot: str = ""
    new: bool = True
    attributes: tuple[tuple[str, str], ...] = ()


class Permission(NamedTuple):
    """A concession: which finding (rule and subject), on what technical basis, within what limit, until when.

    The subject is a key, a position, or the name that is printed.
    """

    rule: str
    subject: str
    basis: str
    limit: str
    expires_on: date


class Postponement(NamedTuple):
    """A re-check put off: to a day, to what the instrument of the vehicle shows then, or both, and why."""

    until: date | None
    until_run: Run | None
    why: str


class RecheckResult(NamedTuple):
    """What another workshop found at a re-check; `run` is what it read off the vehicle, None where it was not told."""

    in_order: bool
    run: Run | None = None
    remark: str = ""
