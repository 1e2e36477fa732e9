"""The command `torqueaudit clamp`: torque and clamp load of a bolt, estimated."""

import json
import re
from typing import Any

import click

from torqueaudit.plugin import read_decimal
from torqueaudit.plugin.commands import unit_table
from torqueaudit_plugins.clamp_load.calc.clamp import LEAST_FRICTION, MOST_FRICTION, UTILISATION, Joint
from torqueaudit_plugins.clamp_load.calc.settling import INTERFACES, Settling
from torqueaudit_plugins.clamp_load.calc.settling import settling_um as settling_of_faces
from torqueaudit_plugins.clamp_load.calc.strength import read_class
from torqueaudit_plugins.clamp_load.calc.thread import SEATS, Seat, Thread, read_thread
from torqueaudit_plugins.clamp_load.commands.answer import Answer, content_of, lines_of
from torqueaudit_plugins.clamp_load.table.joints import LIMITS, MOST_INTERFACES


class Between(click.ParamType[float]):
    """A plain number between two ends, with point or comma, or with a power of ten such as 2e-6."""

    name = "number"

    def __init__(self, least: float, most: float) -> None:
        self.least, self.most = least, most

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number. Raises a usage error with a sentence."""
        try:
            number = value if isinstance(value, float) else self._read(str(value), param)
        except ValueError as mistake:
            raise click.UsageError(str(mistake), ctx) from mistake
        if not self.least <= number <= self.most:
            self.fail(f"{value} does not lie between {self.least:g} and {self.most:g}", param, ctx)
        return number

    def _read(self, text: str, param: click.Parameter | None) -> float:
        """Raise ValueError for what is no number."""
        plain, power, exponent = text.casefold().partition("e")
        if power and not re.fullmatch("[+-]?[0-9]{1,2}", exponent):
            raise ValueError(f'"{text}" is not a number')
        number = read_decimal(plain, param.opts[0] if param else "the number", None if power else int(self.most))
        return float(number.scaleb(int(exponent or 0)))


FRICTION = Between(LEAST_FRICTION, MOST_FRICTION)
DIAMETER = Between(*LIMITS["bearing_diameter_mm"])
RESILIENCE = Between(*LIMITS["bolt_resilience_mm_per_n"])


@click.command(name="clamp")
@click.argument("thread")
@click.option("--class", "strength", required=True, metavar="CLASS", help="Property class of the bolt, such as 10.9.")
@click.option("--friction", type=FRICTION, metavar="MU", help="In the thread and under the head; steel often 0.12.")
@click.option("--thread-friction", type=FRICTION, metavar="MU", help="In the thread, where it differs.")
@click.option("--head-friction", type=FRICTION, metavar="MU", help="Under the head or nut, where it differs.")
@click.option(
    "--utilisation",
    type=Between(0.01, 1),
    default=str(UTILISATION),
    show_default=True,
    metavar="SHARE",
    help="How much of yield the assembly torque uses.",
)
@click.option("--torque", metavar="TORQUE", help="Say also what this torque makes, such as “25 N·m”.")
@click.option("--bearing-diameter", type=DIAMETER, metavar="MM", help="Seat's outer diameter; else a hexagon's.")
@click.option("--hole-diameter", type=DIAMETER, metavar="MM", help="Hole under it; else a medium one.")
@click.option("--bolt-resilience", type=RESILIENCE, metavar="MM/N", help="Say also the loss by settling: bolt, 2e-6.")
@click.option("--part-resilience", type=RESILIENCE, metavar="MM/N", help="The clamped parts, 5e-7.")
@click.option("--roughness", type=Between(*LIMITS["roughness_um"]), metavar="UM", help="Rz of the faces, in µm.")
@click.option(
    "--interfaces",
    type=click.IntRange(0, MOST_INTERFACES),
    default=INTERFACES,
    show_default=True,
    metavar="NUMBER",
    help="Faces between the parts, head and nut left out.",
)
@click.option("--settling-um", type=Between(*LIMITS["settling_um"]), metavar="UM", help="In place of the roughness.")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON, with decimal strings.")
def clamp(*, thread: str, strength: str, utilisation: float, torque: str | None, as_json: bool, **said: Any) -> None:
    """Estimate the clamp load of a bolt. THREAD is “M12” or “M12x1.25”.

    The assembly torque and clamp load are for a hexagon head on a medium hole, as VDI 2230-1 computes them. The loss by
    settling needs both resiliences, and --roughness or --settling-um.
    """
    try:
        bolt = read_thread(thread)
        answer = Answer(bolt, read_class(strength, bolt), utilisation, _joint(bolt, **said), settling=_settling(**said))
        if torque is not None:
            answer = answer._replace(torque_nm=float(unit_table().parse(torque).nm))
            _require_seat(answer)
    except ValueError as mistake:
        raise click.UsageError(str(mistake)) from mistake
    click.echo(json.dumps(content_of(answer), ensure_ascii=False) if as_json else "\n".join(lines_of(answer)))


def _joint(
    thread: Thread,
    *,
    friction: float | None,
    thread_friction: float | None,
    head_friction: float | None,
    bearing_diameter: float | None,
    hole_diameter: float | None,
    **_others: object,
) -> Joint | None:
    in_thread = thread_friction or friction
    under_head = head_friction or friction
    if in_thread is None or under_head is None:
        raise ValueError("give --friction, or both --thread-friction and --head-friction")
    known = SEATS.get(thread.d_mm)
    bearing, hole = bearing_diameter or (known and known.bearing_mm), hole_diameter or (known and known.hole_mm)
    if bearing is None or hole is None:
        return None
    if not thread.d_mm < hole < bearing:
        raise ValueError(f"a seat of {bearing:g} mm on a hole of {hole:g} mm does not go with {thread.name}")
    return Joint(thread, Seat(bearing, hole), in_thread, under_head)


def _settling(
    *,
    bolt_resilience: float | None,
    part_resilience: float | None,
    roughness: float | None,
    interfaces: int,
    settling_um: float | None,
    **_others: object,
) -> Settling | None:
    if bolt_resilience is part_resilience is roughness is settling_um is None:
        return None
    if bolt_resilience is None or part_resilience is None or (roughness is None) == (settling_um is None):
        raise ValueError(
            "settling needs --bolt-resilience and --part-resilience, and one of --roughness and --settling-um"
        )
    settled = settling_um if roughness is None else settling_of_faces(roughness, interfaces)
    return Settling(settled or 0, bolt_resilience, part_resilience)


def _require_seat(answer: Answer) -> None:
    if answer.joint is None:
        raise ValueError(f"the seat of {answer.thread.name} is not known; give --bearing-diameter and --hole-diameter")
