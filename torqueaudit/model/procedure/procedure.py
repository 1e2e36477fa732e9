"""The documented way to do one kind of work: what is tightened, measured, done and fitted, in which order.

A job folds from the normal form (`normal_form`) that the ledger holds, so the TOML text is read only once, when the
procedure is entered (`toml.file.read_procedure`).
"""

from collections.abc import Mapping
from decimal import Decimal
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple, TypeAlias

from torqueaudit.model.procedure.picture import Picture
from torqueaudit.model.torque.specification import Specification

Plain: TypeAlias = "str | int | bool | list[Plain] | dict[str, Plain]"

HAND = "hand"
THREADLOCKER = "threadlocker"
CASTLE_NUT = "castle nut"
NEEDED = "needed"
DIMENSION = "dimension"


class Source(NamedTuple):
    """Where printed values come from, and the vehicles they hold for; years and frame numbers include both ends."""

    key: str
    document: str
    edition: str
    model: str
    years: tuple[int, int]
    frames: tuple[str, str] | None = None


class _Tightened(NamedTuple):
    """The fields of a fastener."""

    key: str
    name: str
    specification: Specification
    after: tuple[str, ...] = ()
    says: str = ""
    thread: str = ""
    property_class: str = ""
    direction: str = "right"
    condition: str = ""
    working_time_min: int | None = None
    cure_time_h: Decimal | None = None
    single_use: tuple[str, ...] = ()
    size: int = 1
    pattern: tuple[int, ...] = ()
    stages: tuple[str, ...] = ()
    stage_torques: tuple[Decimal, ...] = ()
    locking: str = ""
    adapter: str = ""
    mark: bool = False
    photo: bool = False
    check: bool = False
    holds: str = ""
    picture: Picture | None = None


class Fastener(_Tightened):
    """One bolt or nut position of the vehicle, or a numbered group of equal ones (`size` above 1).

    `pattern` is the order in which the numbers of a group are turned, empty where any order does. `stages` end at
    "100 %", empty means one go; `stage_torques` are those of them that print a torque, in N·m. `locking` is "castle
    nut" or empty, `adapter` is "needed" where a wrench reaches it through one only, or empty.
    """

    @cached_property
    def positions(self) -> tuple[str, ...]:
        """The positions on the vehicle, by number: ("rear-axle-nut",) or ("sprocket-bolt-1", "sprocket-bolt-2", …)."""
        if self.size == 1:
            return (self.key,)
        return tuple(f"{self.key}-{number}" for number in range(1, self.size + 1))

    @property
    def turning_order(self) -> tuple[str, ...]:
        """The positions in the order they are turned."""
        positions = self.positions
        return tuple(positions[number - 1] for number in self.pattern) or positions

    @property
    def last_stage(self) -> int:
        """The number of the stage that reaches the torque, counted from 1; 1 where it is done in one go."""
        return max(len(self.stages), 1)

    def name_of(self, position: str) -> str:
        """The position in words: "rear axle nut", "sprocket bolt 3".

        Raises ValueError for a position of another fastener.
        """
        number = self.positions.index(position) + 1
        return self.name if self.size == 1 else f"{self.name} {number}"

    def stage_nm(self, stage: int) -> Decimal | None:
        """What a stage, counted from 1, aims for in N·m: a printed torque or a share of the whole; None by hand."""
        written = self.stages[stage - 1] if self.stages else "100 %"
        if written == HAND:
            return None
        if written.endswith("%"):
            return self.specification.target_nm * Decimal(written.removesuffix("%").strip()) / 100
        return self.stage_torques[stage - 1 - self.stages.count(HAND)]


class Measurement(NamedTuple):
    """A dimension to take; judged only against limits the source states (`lower`, `upper` in `unit`).

    `written` are its limits in words, "min 4.2 mm", or "". `conditions` are pairs such as ("posture", "side stand"). It
    is due again after each fastener of `again_after` has its final torque.
    """

    key: str
    name: str
    unit: str
    kind: str = DIMENSION
    after: tuple[str, ...] = ()
    says: str = ""
    written: str = ""
    lower: Decimal | None = None
    upper: Decimal | None = None
    conditions: tuple[tuple[str, str], ...] = ()
    again_after: tuple[str, ...] = ()
    source: str = ""
    page: str = ""
    picture: Picture | None = None


class Step(NamedTuple):
    """Something done or looked at; `proves` names what its yes proves ("brake").

    Of a `look` a yes says "in order" and a no "fault found", which `means` explains. `covers` are keys of fasteners
    that nobody sees any more once it is done.
    """

    key: str
    name: str
    says: str
    after: tuple[str, ...] = ()
    required: bool = True
    proves: str = ""
    look: bool = False
    means: str = ""
    covers: tuple[str, ...] = ()
    picture: Picture | None = None


class Fit(NamedTuple):
    """A part that goes in: what it is, whether it is new each time, and which attributes are written down with it.

    `kind` is a kind of part that a plugin gives, "" where what is written down may be any words.
    """

    key: str
    name: str
    part: str
    after: tuple[str, ...] = ()
    says: str = ""
    single_use: bool = False
    attributes: tuple[str, ...] = ()
    kind: str = ""
    picture: Picture | None = None


Work: TypeAlias = Fastener | Measurement | Step | Fit


class RecheckPlan(NamedTuple):
    """The look after the first ride: due at distance, days or running hours, whichever is first; missed past the grace.

    `marks` and `torques` are keys of fasteners, `measurements` keys of measurements. Distances in metres, running hours
    in minutes.
    """

    distance_m: Decimal | None = None
    distance_written: str = ""
    days: int | None = None
    grace_days: int = 0
    grace_m: Decimal = Decimal(0)
    marks: tuple[str, ...] = ()
    measurements: tuple[str, ...] = ()
    torques: tuple[str, ...] = ()
    run_min: int | None = None
    grace_min: int = 0


class _Written(NamedTuple):
    """The fields of a procedure."""

    name: str
    title: str
    edition: str
    sources: tuple[Source, ...]
    work: tuple[Work, ...]
    needs: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    recheck: RecheckPlan | None = None
    guard_factor: Decimal | None = None  # r of the guard band r·U, where the procedure demands its own decision rule
    x: Mapping[str, Mapping[str, Plain]] = MappingProxyType({})


class Procedure(_Written):
    """One revision of a procedure; `work` is in the order it is done, `x` holds each plugin's own table by its name.

    What rules ask it many times is worked out once and cached here, as a NamedTuple cannot (decision 0001).
    """

    def fasteners(self) -> tuple[Fastener, ...]:
        """What is tightened, in order."""
        return self._fasteners

    @cached_property
    def _fasteners(self) -> tuple[Fastener, ...]:
        return tuple(item for item in self.work if isinstance(item, Fastener))

    def measurements(self) -> tuple[Measurement, ...]:
        """What is measured, in order."""
        return tuple(item for item in self.work if isinstance(item, Measurement))

    def steps(self) -> tuple[Step, ...]:
        """What is done or looked at, in order."""
        return tuple(item for item in self.work if isinstance(item, Step))

    def fits(self) -> tuple[Fit, ...]:
        """What is fitted, in order."""
        return tuple(item for item in self.work if isinstance(item, Fit))

    def pictures(self) -> tuple[Picture, ...]:
        """What is shown of the work, each file once, in the order of the work."""
        shown = {item.picture.file: item.picture for item in reversed(self.work) if item.picture}
        return tuple(reversed(shown.values()))

    def fastener_at(self, position: str) -> Fastener | None:
        """The fastener that has this position, None where the procedure has no such position."""
        return self._by_position.get(position)

    @cached_property
    def _by_position(self) -> Mapping[str, Fastener]:
        """Each position with its fastener; of two that claim one, the first."""
        return {position: each for each in reversed(self._fasteners) for position in each.positions}

    def item(self, key: str) -> Work | None:
        """The work of this key, None where there is none. A group is known by its own key, not by its positions."""
        return self._by_key.get(key)

    @cached_property
    def _by_key(self) -> Mapping[str, Work]:
        """Each key with its work; of two that claim one, the first."""
        return {item.key: item for item in reversed(self.work)}

    def source(self, key: str) -> Source | None:
        """The source of this key."""
        return next((source for source in self.sources if source.key == key), None)
