"""What the program says of torques, held against figures worked out here from the formulas of the standards alone.

Wrenches, certificates, adapters and limits are drawn (seeded) and told as a workshop would; no formula is shared with
the program. Exact fractions where a verdict hangs on the last digit, else floats; `uncertainties` and `scipy` help.

- a = mean of (X_a - X_r)/X_r, W and W′ = |a| + W + |b_ep|: ISO 6789-1/-2:2017 (from memory)
- corrected for, T = X·f/(1 + a): JCGM 100:2008 3.2.4; left in, |a| and |b_ep| add in full; squares, k = 2: 5.1.2, 6.2;
  half a division of the scale that is read: F.2.2.1
- adapters f = (L + Σ E·cos θ)/L: FAA AC 43.13-1B figure 7-2; the verdict and its probability: JCGM 106:2012 7.3, 8.3
- a straight line between points and nothing beyond them, the class's own limit without readings: ours, no source
"""

import json
import os
import re
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from math import cos, pi, sqrt
from pathlib import Path
from random import Random
from shutil import copy
from typing import Any, NamedTuple

import pytest
from click.testing import CliRunner
from scipy.stats import norm
from uncertainties import ufloat, umath

from torqueaudit.cli.main import cli
from torqueaudit.plugin.commands import (
    BenchAnswer,
    Calibrate,
    NewWrench,
    Say,
    Workshop,
    add_wrench,
    bench_setting,
    calibrate,
    enter_procedure,
    open_workshop,
    play,
    read_against_source,
)
from torqueaudit.plugins import Plugins
from torqueaudit.read.adapter import read_adapter
from torqueaudit.testing import Clock, procedure_head
from torqueaudit.workshop.register.settings import settle

SEED = 20310406
PROOF = "TORQUEAUDIT_PROOF" in os.environ
JOBS, SEATS, EACH = (80, 10, 25) if PROOF else (9, 2, 25)
FOREMAN = Say("P-1")
UNITS = {"N·m": Fraction(1), "lbf·ft": Fraction("0.45359237") * Fraction("9.80665") * Fraction("0.3048")}
POUND, OUNCE = UNITS["lbf·ft"] / 12, UNITS["lbf·ft"] / 12 / 16  # force, times an inch
KILOGRAM = Fraction("9.80665")
CONVERTED = UNITS | {
    "lbf·in": POUND,
    "ozf·in": OUNCE,
    "kgf·m": KILOGRAM,
    "kgf·cm": KILOGRAM / 100,
    "gf·cm": KILOGRAM / 100_000,
    "daN·m": Fraction(10),
    "dN·m": Fraction(1, 10),
    "N·cm": Fraction(1, 100),
    "cN·m": Fraction(1, 100),
    "mN·m": Fraction(1, 1000),
}
EXACT_COSINES = {0: Fraction(1), 60: Fraction(1, 2), 90: Fraction(0), 120: Fraction(-1, 2), 180: Fraction(-1)}
SAME = 1e-9
EDGE = 1e-7  # of a torque: nearer to the edge of a guard band a verdict hangs on how U is rounded


class Point(NamedTuple):
    """One point of a certificate, as printed; W, W′ and b_ep in percent."""

    at: Decimal
    readings: tuple[Decimal, ...]
    w: Decimal | None = None
    interval: Decimal | None = None
    b_ep: Decimal | None = None

    def text(self, unit: str) -> str:
        stated = {"W": self.w, "W′": self.interval, "b_ep": self.b_ep}
        behind = "".join(f"; {name} {value} %" for name, value in stated.items() if value is not None)
        return f"{self.at} {unit}: {' '.join(map(str, self.readings))}{behind}"

    @property
    def a(self) -> Fraction:
        return sum((Fraction(self.at) / Fraction(each) - 1 for each in self.readings), Fraction(0)) / len(self.readings)

    @property
    def b(self) -> float:
        return abs(float(self.b_ep or 0)) / 100

    @property
    def expanded(self) -> float | None:
        if self.w is not None:
            return float(self.w) / 100
        if self.interval is None:
            return None
        return float(self.interval) / 100 - abs(float(self.a)) - self.b

    def scatter(self, permissible: float) -> float:
        values = [float(each) for each in self.readings]
        if len(values) == 1:
            left = permissible - abs(float(self.a))
            return (left if left >= 0 else permissible) / sqrt(3)
        mean = sum(values) / len(values)
        return sqrt(sum((each - mean) ** 2 for each in values) / (len(values) - 1)) / mean


class Drawn(NamedTuple):
    """A wrench with its certificate, one pass of it on a fastener, and how it is found later."""

    kind: str
    unit: str
    division: Decimal
    most: Decimal
    lever: int
    wide: bool
    points: tuple[Point, ...]
    shown: Decimal
    adapters: tuple[tuple[int, int, Decimal | None, Decimal | None], ...]
    later: tuple[Point, ...]

    @property
    def permissible(self) -> float:
        return 0.06 if self.wide or Fraction(self.most) * UNITS[self.unit] <= 10 else 0.04

    @property
    def told(self) -> list[str]:
        return [_adapter_text(each) for each in self.adapters]


class Reached(NamedTuple):
    """A torque in N·m, exact where it can be; U in N·m, None where nothing is proved."""

    nm: Fraction
    expanded: float | None


def _adapter_text(adapter: tuple[int, int, Decimal | None, Decimal | None]) -> str:
    length, angle, of_length, of_angle = adapter
    return f"{length}{f'±{of_length}' if of_length else ''}mm@{angle}{f'±{of_angle}' if of_angle else ''}°"


def factor_of(drawn: Drawn) -> Fraction:
    """(L + Σ E·cos θ)/L, exact where the cosine is."""
    along = Fraction(0)
    for length, angle, _, _ in drawn.adapters:
        along += length * EXACT_COSINES.get(angle, Fraction(cos(angle * pi / 180)))
    return 1 + along / drawn.lever


def adapter_share(drawn: Drawn) -> float:
    """The relative standard uncertainty of that factor: 5 mm, 1 mm and 5° where nothing is stated."""
    if not drawn.adapters:
        return 0.0
    lever, along = ufloat(drawn.lever, 5), 0.0
    for length, angle, of_length, of_angle in drawn.adapters:
        piece = ufloat(length, float(of_length) / 2 if of_length else 1)
        along += piece * umath.cos(ufloat(angle, float(of_angle) / 2 if of_angle else 5) * pi / 180)
    factor = (lever + along) / lever
    return float(factor.std_dev / factor.nominal_value)


def along(points: Sequence[Point], at: Decimal, value: Callable[[Point], Any]) -> Any:
    """A figure at a setting, on the straight line between its neighbours; None beyond the points."""
    for point in points:
        if point.at == at:
            return value(point)
    for low, high in pairwise(points):
        if low.at < at < high.at:
            share = Fraction(at - low.at) / Fraction(high.at - low.at)
            ends = value(low), value(high)
            return ends[0] + (share if isinstance(ends[0], Fraction) else float(share)) * (ends[1] - ends[0])
    return None


class Shares(NamedTuple):
    """What a setting makes in N·m, and what its uncertainty is made of, relative to it; not `known`: nothing proved."""

    nm: Fraction
    adds: float
    wrench: float
    scatter: float
    division: float
    adapter: float
    known: bool = True

    @property
    def reached(self) -> Reached:
        squares = self.wrench**2 + self.scatter**2 + self.division**2 + self.adapter**2
        return Reached(self.nm, float(self.nm) * (self.adds + 2 * sqrt(squares)) if self.known else None)


def shares(drawn: Drawn, shown: Decimal, points: Sequence[Point], *, correct: bool) -> Shares:
    """What a setting makes at the fastener."""
    plain = Shares(
        nm=Fraction(shown) * UNITS[drawn.unit] * factor_of(drawn),
        adds=0.0,
        wrench=drawn.permissible / sqrt(3),
        scatter=0.0,
        division=float(drawn.division) / sqrt(12) / float(shown),
        adapter=adapter_share(drawn),
    )
    if not points:
        return plain
    a = along(points, shown, lambda each: each.a)
    if a is None:
        return plain._replace(known=False)
    found = plain._replace(nm=plain.nm / (1 + a)) if correct else plain
    if any(each.expanded is None for each in points):
        return found
    w, b = along(points, shown, lambda each: each.expanded), along(points, shown, lambda each: each.b)
    scatter = along(points, shown, lambda each: each.scatter(drawn.permissible))
    if correct:
        return found._replace(wrench=(w + b) / 2, scatter=scatter)
    return found._replace(adds=abs(float(a)) + b, wrench=w / 2, scatter=scatter)


def reached(drawn: Drawn, shown: Decimal, points: Sequence[Point], *, correct: bool) -> Reached:
    """What a setting makes at the fastener, with its U."""
    return shares(drawn, shown, points, correct=correct).reached


class Drag(NamedTuple):
    """The least and the most that a nut drags by over a turn, in a unit, and the dial that read it: None if untold."""

    least: Decimal
    most: Decimal
    unit: str
    dial: Drawn | None
    same: bool


def at_seat(drawn: Drawn, drag: Drag, points: Sequence[Point], *, correct: bool, dial_correct: bool) -> Reached:
    """T - M_d, u² = u_T² + u_d²; what one wrench does to both alike counts for the difference alone."""
    torque, mean = shares(drawn, drawn.shown, points, correct=correct), (drag.least + drag.most) / 2
    turn = float(drag.most - drag.least) / 2 / sqrt(3) / float(mean)
    if drag.same:
        drags = torque.nm * Fraction(mean) / Fraction(drawn.shown)
        left = float(abs(torque.nm - drags))
        squares = [left * torque.wrench, left * torque.adapter, float(torque.nm) * torque.division]
        own = float(drawn.division) / sqrt(12) / float(mean)
        squares += [float(torque.nm) * torque.scatter, *(float(drags) * each for each in (torque.scatter, own, turn))]
        spread = left * torque.adds + 2 * sqrt(sum(each**2 for each in squares))
    else:
        read = _read_on(drag.dial, mean, correct=dial_correct) if drag.dial else None
        drags = read.nm if read else Fraction(mean) * UNITS[drag.unit]
        each = read.wrench**2 + read.scatter**2 + read.division**2 if read else 0.06**2 / 3
        of_drag = float(drags) * sqrt(each + turn**2)
        adds = float(torque.nm) * torque.adds + (float(drags) * read.adds if read else 0.0)
        plain = torque._replace(adds=0.0).reached.expanded or 0.0
        spread = adds + sqrt(plain**2 + (2 * of_drag) ** 2)
    return Reached(torque.nm - drags, spread if torque.known else None)


def _read_on(dial: Drawn, mean: Decimal, *, correct: bool) -> Shares:
    """Beyond its points a dial is believed as its class says: ours, no source."""
    return shares(dial, mean, dial.points, correct=correct)


def words(at: Reached, lower: Fraction | None, upper: Fraction | None, guard: Decimal) -> set[str]:
    """The verdict by JCGM 106; two of them where it hangs on how U is rounded."""
    inside = (lower is None or lower <= at.nm) and (upper is None or at.nm <= upper)
    if at.expanded is None:
        return {"in, not proved" if inside else "out, not proved"}
    band = float(guard) * at.expanded
    room = min(float(each) for each in (lower and at.nm - lower, upper and upper - at.nm) if each is not None)
    if guard and abs(abs(room) - band) < EDGE * float(at.nm):
        return {"in", "in, not proved"} if inside else {"out", "out, not proved"}
    if inside:
        return {"in" if room >= band else "in, not proved"}
    return {"out, not proved" if room >= -band and guard else "out"}


def probability(at: Reached, lower: Fraction | None, upper: Fraction | None) -> float | None:
    """Φ((T_U - y)/u) - Φ((T_L - y)/u)."""
    if at.expanded is None:
        return None
    u = at.expanded / 2
    above = 1.0 if upper is None else norm.cdf(float(upper - at.nm) / u)
    return float(above - (0.0 if lower is None else norm.cdf(float(lower - at.nm) / u)))


def draw(chance: Random) -> Drawn:
    """A wrench of 6 to 340 N·m with none to three points, up to 70 % of what is permitted off, and a pass in range."""
    unit = chance.choice(["N·m", "N·m", "lbf·ft"])
    most, division = chance.choice(
        [("5", "0.05"), ("10", "0.1"), ("25", "0.25"), ("60", "0.5"), ("120", "0.5"), ("200", "1"), ("250", "2")]
    )
    wide = chance.random() < 0.2
    plain = Drawn(
        kind=chance.choice(["setting", "indicating"]),
        unit=unit,
        division=Decimal(division),
        most=Decimal(most),
        lever=chance.choice([200, 250, 320, 400, 500, 500, 650, 800]),
        wide=wide,
        points=(),
        shown=Decimal(0),
        adapters=tuple(_adapter(chance) for _ in range(chance.choice([0, 0, 1, 1, 2]))),
        later=(),
    )
    marks = [Decimal(n) * plain.division for n in range(int(plain.most / plain.division / 5), _marks(plain) + 1)]
    style = chance.randrange(7)
    points = _certificate(chance, plain, marks, style, chance.randrange(4))
    inside = [each for each in marks if points and points[0].at <= each <= points[-1].at]
    shown = chance.choice(inside if inside and chance.random() < 0.8 else marks)
    later = _certificate(chance, plain, marks, chance.randrange(7), chance.choice([1, 2, 2, 3]), beyond=True)
    return plain._replace(points=points, shown=shown, later=later)


def _marks(drawn: Drawn) -> int:
    return int(drawn.most / drawn.division)


def _adapter(chance: Random) -> tuple[int, int, Decimal | None, Decimal | None]:
    stated = chance.random() < 0.4
    return (
        chance.choice([30, 40, 50, 75, 100]),
        chance.choice([0, 0, 60, 90, 120, 180, 15, 45, 135]),
        Decimal("0.5") if stated else None,
        Decimal(chance.choice(["1", "2.5"])) if stated else None,
    )


def _certificate(
    chance: Random, plain: Drawn, marks: Sequence[Decimal], style: int, many: int, *, beyond: bool = False
) -> tuple[Point, ...]:
    """Points with readings that all lie inside what is permitted, or `beyond`: that all lie outside."""
    exact, thirds = chance.random() < 0.3, len(marks) // 3
    shown = sorted(marks[third * thirds + chance.randrange(thirds // 2)] for third in chance.sample(range(3), many))
    return tuple(_point(chance, plain, at, style, beyond=beyond, exact=exact) for at in shown)


def _point(chance: Random, plain: Drawn, at: Decimal, style: int, *, beyond: bool, exact: bool) -> Point:
    limit = plain.permissible
    off = chance.uniform(1.2, 2.5) * limit * chance.choice([1, -1]) if beyond else chance.uniform(-0.7, 0.7) * limit
    count, scatter = chance.choice([1, 2, 3, 5, 5, 10]), 0.0 if exact else chance.uniform(0.0005, 0.003)
    places = 2 if at >= 10 else 4
    each = float(at) / (1 + off)
    readings = tuple(
        _decimal(each * (1 + chance.gauss(0, scatter)), 1 if exact and at >= 10 else places) for _ in range(count)
    )
    point = Point(at, readings)
    share = abs(float(point.a)) * 100
    w, b = Decimal(str(round(chance.uniform(0.3, 1.6), 2))), Decimal(str(round(chance.uniform(0.01, 0.3), 2)))
    whole = _decimal(share + float(w), 2)
    stated: dict[int, dict[str, Decimal]] = {
        0: {},
        1: {"w": w},
        2: {"w": w, "b_ep": b},
        3: {"interval": whole},
        4: {"interval": whole + b, "b_ep": b},
        5: {"w": w, "interval": whole},
        6: {"w": w, "interval": whole + b, "b_ep": b} if chance.random() < 0.7 else {},
    }
    return Point(at, readings, **stated[style])


def _decimal(number: float, places: int) -> Decimal:
    """Never three places, which may be read as thousands."""
    return Decimal(f"{number:.{places}f}")


class Asked(NamedTuple):
    """How a fastener is specified, as its procedure has it, with its limits and what to aim for in N·m."""

    torque: str
    tolerance: str
    lower: Fraction | None
    upper: Fraction | None
    aim: Fraction


def specify(chance: Random, at: Reached) -> Asked:
    """Limits around what is reached, near enough that every verdict comes, or exactly on it where it has few digits."""
    unit = chance.choice(["N·m", "N·m", "lbf·ft"])
    exact = at.nm / UNITS[unit]
    spread = max(at.expanded or 0.0, float(at.nm) * 0.01) / float(UNITS[unit])
    places = 2 if exact > 20 else 4
    low, high = (_decimal(float(exact) + spread * chance.uniform(*ends), places) for ends in ((-3, 0.6), (0.8, 4)))
    decimal = Decimal(exact.numerator) / Decimal(exact.denominator)
    if Fraction(decimal) == exact and len(decimal.as_tuple().digits) < 9 and chance.random() < 0.7:
        on = Decimal(f"{decimal:f}0") if decimal.as_tuple().exponent == -3 else decimal
        low, high = (on, high + 1) if chance.random() < 0.5 else (max(low, on / 2) if low < on else on / 2, on)
    limits = Fraction(low) * UNITS[unit], Fraction(high) * UNITS[unit]
    form = chance.randrange(4)
    if form == 0:
        return Asked(f"at least {low} {unit}", "", lower=limits[0], upper=None, aim=limits[0])
    if form == 1:
        return Asked(f"at most {high} {unit}", "", lower=None, upper=limits[1], aim=limits[1])
    if form == 2:
        return Asked(f"{low} … {high} {unit}", "", lower=limits[0], upper=limits[1], aim=(limits[0] + limits[1]) / 2)
    middle = (low + high) / 2
    if middle.as_tuple().exponent == -3:
        middle = Decimal(f"{middle}0")
    return Asked(
        f"{middle} {unit}", f"{high - middle} {unit}", lower=limits[0], upper=limits[1], aim=(limits[0] + limits[1]) / 2
    )


class Case(NamedTuple):
    """One drawn wrench in a book, by its number there, and the fastener it was used on."""

    drawn: Drawn
    wrench: str
    key: str
    asked: Asked
    at: Reached
    further: str = ""  # in its procedure
    behind: str = ""  # on the job card
    held: Reached | None = None  # what is left at the seat
    slot: Reached | None = None
    slot_shown: Decimal = Decimal(0)
    drag: Drag | None = None

    @property
    def name(self) -> str:
        return f"{self.key}: {self.drawn}, {self.asked}"


class Told(NamedTuple):
    """A job of many fasteners, each by a wrench of its own, in a book of its own."""

    workshop: Workshop
    cases: list[Case]
    guard: Decimal
    correct: bool


Make = Callable[..., Case]


def tell(workshop: Workshop, chance: Random, folder: Path, make: Make) -> Told:
    """Enter wrenches, certificates, a procedure that fits them, and a pass of each."""
    guard, correct = Decimal(chance.choice(["0", "0.5", "1"])), chance.random() < 0.6
    settle(workshop, {"correct_deviation": correct}, FOREMAN)
    cases = [make(workshop, chance, number, correct=correct) for number in range(EACH)]
    work = "".join(
        f'[[work]]\ntighten = "{each.key}"\nname = "{each.key}"\ntorque = "{each.asked.torque}"\n'
        + (f'tolerance = "{each.asked.tolerance}"\n' if each.asked.tolerance else "")
        + f'{each.further}source = "manual"\npage = "1"\n'
        for each in cases
    )
    path = folder / "compared.toml"
    path.write_text(procedure_head("compared", top=f"guard_factor = {guard}") + work, encoding="utf-8")
    enter_procedure(workshop, path, Say("P-2"))
    read_against_source(workshop, "compared", "", Say("P-3"))
    lines = ["2031-04-02 10:00 job 1 opened compared on V-1 at 12000 km by P-2"]
    for each in cases:
        adapter = f" adapter {' and '.join(each.drawn.told)}" if each.drawn.adapters else ""
        shown = f"{each.drawn.shown} {each.drawn.unit}"
        lines.append(f"2031-04-02 10:05 {each.key} {shown} with {each.wrench}{adapter}{each.behind} by P-2")
    play(workshop, "\n".join(lines))
    return Told(workshop, cases, guard, correct)


def _enter(workshop: Workshop, chance: Random, drawn: Drawn) -> str:
    """A wrench with its certificate, as found or as left."""
    new = NewWrench(
        kind=drawn.kind,
        tag="drawn",
        lowest=f"{drawn.most / 5} {drawn.unit}",
        highest=f"{drawn.most} {drawn.unit}",
        lever_mm=Decimal(drawn.lever),
        construction="torsion or flexion bar" if drawn.wide else "other",
        scales=(f"{drawn.division} {drawn.unit}",),
    )
    wrench = add_wrench(workshop, new, FOREMAN)
    points = tuple(each.text(drawn.unit) for each in drawn.points)
    told = Calibrate(on=date(2031, 4, 1), certificate="C", as_found=points)
    if points and chance.random() < 0.3:
        before = tuple(Point(each.at, each.readings[:1]).text(drawn.unit) for each in drawn.points)
        told = told._replace(as_found=before, as_left=points)
    calibrate(workshop, wrench, told, FOREMAN)
    return wrench


def plain_case(workshop: Workshop, chance: Random, number: int, *, correct: bool) -> Case:
    """A nut with one torque."""
    drawn = draw(chance)
    wrench, at = _enter(workshop, chance, drawn), reached(drawn, drawn.shown, drawn.points, correct=correct)
    return Case(drawn, wrench, key=f"nut-{chr(97 + number)}", asked=specify(chance, at), at=at)


def drag_case(workshop: Workshop, chance: Random, number: int, *, correct: bool) -> Case:
    """A self-locking nut whose drag comes on top, read on the wrench itself, on another one, or nobody told."""
    case = plain_case(workshop, chance, number, correct=correct)
    drawn, behind = case.drawn, ""
    dial = draw(chance)._replace(kind="indicating", adapters=()) if chance.random() < 0.5 else None
    if dial:
        behind = f" read with {_enter(workshop, chance, dial)}"
    unit = dial.unit if dial else drawn.unit
    factor = float(factor_of(drawn)) if dial or drawn.kind == "setting" else 1.0
    mean = float(drawn.shown) * float(UNITS[drawn.unit] / UNITS[unit]) * factor * chance.uniform(0.05, 0.4)
    least, most = _decimal(mean * 0.9, 4), _decimal(mean * chance.choice([0.9, 1.1]), 4)
    drag = Drag(least, most, unit, dial=dial, same=dial is None and drawn.kind == "indicating")
    held = at_seat(drawn, drag, drawn.points, correct=correct, dial_correct=correct)
    said = f"{least} {unit}" if least == most else f"{least} … {most} {unit}"
    return case._replace(
        asked=specify(chance, held),
        further='prevailing_torque = "excluded"\n',
        behind=f" drag {said}{behind}",
        held=held,
        drag=drag,
    )


def castle_case(workshop: Workshop, chance: Random, number: int, *, correct: bool) -> Case:
    """A castle nut that was turned on to its next slot, with the torque that the wrench showed there or was set to."""
    case = plain_case(workshop, chance, number, correct=correct)
    drawn = case.drawn
    slot = drawn.shown + drawn.division * chance.randint(1, max(int(drawn.shown / drawn.division / 8), 1))
    at_slot = reached(drawn, slot, drawn.points, correct=correct)
    low = _decimal(float(case.at.nm) - (case.at.expanded or 0.1) * chance.uniform(-0.5, 2), 4)
    high = _decimal(float(at_slot.nm) + (at_slot.expanded or 0.1) * chance.uniform(-2, 2), 4)
    high = max(high, _decimal(float(low) * 1.02, 4))
    asked = Asked(f"{low} … {high} N·m", "", lower=Fraction(low), upper=Fraction(high), aim=Fraction(low))
    behind = f" slot turned on to the next slot at {slot} {drawn.unit}"
    return case._replace(asked=asked, further='locking = "castle nut"\n', behind=behind, slot=at_slot, slot_shown=slot)


def job_json(workshop: Workshop) -> dict[str, Any]:
    """What the command line says of the job, by the key of each fastener."""
    said = CliRunner().invoke(cli, ["--book", str(workshop.book.path), "job", "show", "1", "--json"])
    assert not said.exception, said.output
    return {each["position"]: each for each in json.loads(said.stdout)["fasteners"]}


def pass_faults(told: Told, case: Case, said: dict[str, Any]) -> list[str]:
    """What the record says of a pass otherwise than it is."""
    found = [*differing(said, "applied_nm", "expanded_nm", case.at)]
    if case.held:
        found += differing(said, "seat_nm", "seat_expanded_nm", case.held)
    if case.slot:
        found += differing(said, "slot_nm", "slot_expanded_nm", case.slot)
    expected = verdicts(told, case)
    return found if said["verdict"] in expected else [*found, f"{said['verdict']}, not {expected}"]


def verdicts(told: Told, case: Case) -> set[str]:
    """What the whole of a pass may be judged: the worst of its torque and of that at a slot, which has a maximum."""
    torque = words(case.held or case.at, case.asked.lower, case.asked.upper, told.guard)
    if case.slot is None or case.asked.upper is None:
        return torque
    slot = words(case.slot, None, case.asked.upper, told.guard)
    if case.drawn.kind == "setting" and case.slot.nm > case.asked.upper:
        slot = {"not judged"}  # it did not click there, so the torque is below that: on which side nobody knows
    worst_first = ["out", "not judged", "out, not proved", "in, not proved", "in"]
    return {min(one, other, key=worst_first.index) for one in torque for other in slot}


def differing(said: dict[str, Any], nm: str, expanded: str, at: Reached) -> list[str]:
    """A torque and its U where they are otherwise than they are said."""
    if abs(float(said[nm]) / float(at.nm) - 1) > SAME:
        return [f"{nm} {said[nm]}, not {float(at.nm)}"]
    if at.expanded is None:
        return [] if said[expanded] is None else [f"{expanded} {said[expanded]}, not None"]
    wrong = said[expanded] is None or abs(float(said[expanded]) / at.expanded - 1) > SAME
    return [f"{expanded} {said[expanded]}, not {at.expanded}"] if wrong else []


def later_faults(told: Told, case: Case) -> list[str]:
    """What a look that finds the wrench out makes of its pass otherwise than it is."""
    points = tuple(each.text(case.drawn.unit) for each in case.drawn.later)
    look = calibrate(
        told.workshop, case.wrench, Calibrate(on=date(2031, 4, 3), certificate="L", as_found=points), FOREMAN
    )
    [use] = look.doubtful
    drawn = case.drawn
    at = reached(drawn, drawn.shown, drawn.later, correct=True)
    if at.expanded is None:
        return (
            [] if (use.verdict, use.applied_nm, use.known) == ("not judged", None, False) else [f"nobody knows: {use}"]
        )
    if use.applied_nm is None or use.expanded_nm is None:
        return [f"it is known: {use}"]
    if case.drag:
        at = at_seat(drawn, case.drag, drawn.later, correct=True, dial_correct=told.correct)
    slot = reached(drawn, case.slot_shown, drawn.later, correct=True) if case.slot else None
    expected = verdicts(told, case._replace(at=at, held=None, slot=slot))
    if slot and slot.expanded is None:
        expected = {"not judged", "out"}
    found = []
    if (
        abs(float(use.applied_nm) / float(at.nm) - 1) > SAME
        or abs(float(use.expanded_nm) / (at.expanded or 1) - 1) > SAME
    ):
        found.append(f"{use.applied_nm} ± {use.expanded_nm}, not {float(at.nm)} ± {at.expanded}")
    if use.verdict not in expected:
        found.append(f"{use.verdict}, not {expected}")
    if use.inside is not use.verdict.startswith("in"):
        found.append(f"inside: {use}")
    return found


def bench_faults(told: Told, case: Case) -> list[str]:
    """What is wrong with the setting that is answered: every mark near it is tried here."""
    drawn, asked = case.drawn, case.asked
    fitted = tuple(map(read_adapter, drawn.told))
    answer = bench_setting(told.workshop, "1", case.key, case.wrench, fitted)
    about = asked.aim / UNITS[drawn.unit] / factor_of(drawn) / Fraction(drawn.division)
    lowest = int(drawn.most / drawn.division / 5)
    near = range(max(int(about * Fraction(4, 5)), lowest), min(int(about * Fraction(5, 4)) + 1, _marks(drawn)) + 1)
    tried = {n * drawn.division: reached(drawn, n * drawn.division, drawn.points, correct=told.correct) for n in near}
    said = {mark: words(at, asked.lower, asked.upper, told.guard) for mark, at in tried.items()}
    inside = [mark for mark, word in said.items() if word & {"in", "in, not proved"}]
    if answer.choice is None:
        step = Fraction(drawn.division) * UNITS[drawn.unit] * factor_of(drawn)
        reaching = [mark for mark in inside if abs(tried[mark].nm - asked.aim) < step]
        return [f"no setting ({answer.why_not}), while {reaching} do"] if reaching else []
    choice = answer.choice
    if choice.setting not in inside:
        return [f"{choice.setting}: {said.get(choice.setting)}, among {inside}"]
    at = tried[choice.setting]
    found = []
    if abs(float(choice.applied_nm) / float(at.nm) - 1) > SAME:
        found.append(f"{choice.applied_nm}, not {float(at.nm)}")
    if at.expanded and abs(float(choice.expanded_nm or 0) / at.expanded - 1) > SAME:
        found.append(f"± {choice.expanded_nm}, not {at.expanded}")
    if choice.judged.verdict not in said[choice.setting]:
        found.append(f"{choice.judged.verdict}, not {said[choice.setting]}")
    if (choice.judged.probability is None) is not (at.expanded is None):
        found.append(f"probability {choice.judged.probability}")
    elif choice.judged.probability is not None:
        expected = probability(at, asked.lower, asked.upper) or 0.0
        if abs(float(choice.judged.probability) - expected) > 2e-7:
            found.append(f"probability {choice.judged.probability}, not {expected}")
    return [*found, *nearest_faults(told, case, answer, tried, said)]


def nearest_faults(
    told: Told, case: Case, answer: BenchAnswer, tried: dict[Decimal, Reached], said: dict[Decimal, set[str]]
) -> list[str]:
    """Whether another mark would be nearer to the aim, and what is said of marks that would be proved."""
    assert answer.choice is not None
    setting, aim = answer.choice.setting, case.asked.aim
    step = float(Fraction(case.drawn.division) * UNITS[case.drawn.unit] * factor_of(case.drawn))
    inside = [mark for mark, word in said.items() if word & {"in", "in, not proved"}]
    proved = [mark for mark in inside if said[mark] == {"in"}]
    close = any(abs(tried[mark].nm / aim - 1) < 2 * case.drawn.permissible for mark in proved)
    nearest = min(inside, key=lambda mark: abs(tried[mark].nm - aim))
    if told.guard and said[nearest] != {"in"} and (close or setting in proved):
        among = proved
    else:
        among = [mark for mark in inside if (tried[mark].expanded is None) is (tried[setting].expanded is None)]
    best = min(abs(float(tried[mark].nm - aim)) for mark in among)
    found = []
    if abs(float(tried[setting].nm - aim)) > max(best + step / 20, step * 0.52):
        found.append(f"{setting} reaches {float(tried[setting].nm)}, {among} are nearer to {float(aim)}")
    if named := re.search(r"[;.] (\S+) \S+ would be proved", " ".join(answer.cautions)):
        mark = Decimal(named[1])
        if "in" not in words(tried[mark], case.asked.lower, case.asked.upper, Decimal(1)):
            found.append(f"{mark} would not be proved: {tried[mark]}")
    return found


@pytest.mark.proof
@pytest.mark.parametrize("nth", range(JOBS))
def test_every_answer_of_a_job(nth: int, ready_made_book: Path, installed_plugins: Plugins, tmp_path: Path) -> None:
    chance = Random(f"{SEED} {nth}")
    path = Path(copy(ready_made_book, tmp_path / "yard.book"))
    with open_workshop(path, clock=Clock(), chance=Random(9), plugins=installed_plugins) as workshop:
        told = tell(workshop, chance, tmp_path, plain_case)
        said = job_json(workshop)
        faults = {
            each.name: [*pass_faults(told, each, said[each.key]), *bench_faults(told, each)] for each in told.cases
        }
        play(workshop, "2031-04-03 10:00 clock")
        for each in told.cases:
            faults[each.name] += later_faults(told, each)

    assert not {key: fault for key, fault in faults.items() if fault}


@pytest.mark.proof
@pytest.mark.parametrize("make", [drag_case, castle_case], ids=["drag", "castle nut"])
def test_every_answer_on_nuts_of_a_kind(
    make: Make, ready_made_book: Path, installed_plugins: Plugins, tmp_path: Path
) -> None:
    faults: dict[str, list[str]] = {}
    for nth in range(SEATS):
        path = Path(copy(ready_made_book, tmp_path / f"yard-{nth}.book"))
        with open_workshop(path, clock=Clock(), chance=Random(9), plugins=installed_plugins) as workshop:
            told = tell(workshop, Random(f"{SEED} {nth}"), tmp_path, make)
            said = job_json(workshop)
            faults |= {
                f"{nth} {each.name} {each.behind}": pass_faults(told, each, said[each.key]) for each in told.cases
            }
            play(workshop, "2031-04-03 10:00 clock")
            for each in told.cases:
                faults[f"{nth} {each.name} {each.behind}"] += later_faults(told, each)

    assert not {key: fault for key, fault in faults.items() if fault}


@pytest.mark.parametrize(
    ("shown", "unit_nm", "division_nm"),
    [
        ("66 lbf·ft", UNITS["lbf·ft"], 2 * UNITS["lbf·ft"]),
        ("92.5 N·m", Fraction(1), Fraction(1, 2)),
        ("9 kgf·m", KILOGRAM, 2 * UNITS["lbf·ft"]),
    ],
)
def test_the_scale_that_was_read_counts(
    workshop: Workshop, shown: str, unit_nm: Fraction, division_nm: Fraction
) -> None:
    """Half its division to each side (JCGM 100, F.2.2.1), and the coarsest where it is not known which was read."""
    scales = ("0.5 N·m", "2 lbf·ft")
    wrench = add_wrench(workshop, NewWrench("setting", "two", scales=scales, due_on=date(2032, 3, 31)), FOREMAN)
    opened = "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2"
    play(workshop, f"{opened}\n2031-04-02 10:05 rear-axle-nut {shown} with {wrench} by P-2")
    nm = Fraction(shown.split(maxsplit=1)[0]) * unit_nm
    expanded = 2 * sqrt((float(nm) * 0.06 / sqrt(3)) ** 2 + float(division_nm) ** 2 / 12)

    assert not differing(job_json(workshop)["rear-axle-nut"], "applied_nm", "expanded_nm", Reached(nm, expanded))


def test_a_torque_that_differs_is_seen() -> None:
    """So every check above can fail: in the torque, in its U, and where one is missing."""
    said = {"nm": "100", "expanded": "1"}

    assert not differing(said, "nm", "expanded", Reached(Fraction(100), 1.0))
    assert differing(said, "nm", "expanded", Reached(Fraction("100.000001"), 1.0))
    assert differing(said, "nm", "expanded", Reached(Fraction(100), 1.00001))
    assert differing(said, "nm", "expanded", Reached(Fraction(100), None))
    assert differing({**said, "expanded": None}, "nm", "expanded", Reached(Fraction(100), 1.0))


@pytest.mark.proof
def test_every_conversion() -> None:
    """By the definitions of the pound, the inch, the foot and the standard gravity (NIST SP 811:2008, B.8)."""
    chance = Random(SEED)
    for _ in range(500 if PROOF else 50):
        value = _decimal(10 ** chance.uniform(-1, 2.8), 4)
        (told, one), (wanted, other) = chance.sample(sorted(CONVERTED.items()), 2)
        said = CliRunner().invoke(cli, ["convert", f"{value} {told}", wanted]).stdout.split()

        assert pytest.approx(float(Fraction(value) * one / other), rel=1e-12) == float(said[0])
        assert wanted == said[1]
