"""The adapter's correction as the workshop asks for it: one use of a wrench, with what is fitted on it."""

import re
from decimal import Decimal
from fractions import Fraction

import pluggy
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from torqueaudit import hooks
from torqueaudit.model.torque.correction import Correction, Fitted, WrenchUse
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit_plugins import wrench_adapter
from torqueaudit_plugins.wrench_adapter.calc.formula import Arm, Geometry, caution, factor_of, setting_for

STRAIGHT = {"length_mm": "50", "angle_deg": "0"}


def use(*fitted: Fitted, lever: str | None = "500", wrench: str = "W-2") -> WrenchUse:
    """Wrench W-2 set to 100 N·m."""
    return WrenchUse(wrench, Decimal(100), fitted, None if lever is None else Decimal(lever))


def adapter(**attributes: str) -> Fitted:
    """One adapter with the given attributes."""
    return Fitted("adapter", attributes)


def correct(one: WrenchUse) -> Correction:
    """The correction, which must be there."""
    correction = wrench_adapter.correct_setting(one)
    assert correction is not None
    return correction


def test_the_hook_correct_setting_gives_the_factor_of_the_adapter() -> None:
    """Asked through the plugin manager with the hook's own argument, 50 mm on 500 mm straight ahead gives 1.1."""
    manager = pluggy.PluginManager("torqueaudit")
    manager.add_hookspecs(hooks)
    manager.register(wrench_adapter)
    manager.check_pending()

    expected = [("adapter", Decimal("1.1"))]
    actual = [(each.name, each.factor) for each in manager.hook.correct_setting(use=use(adapter(**STRAIGHT)))]

    assert expected == actual


@pytest.mark.parametrize(
    ("angle", "factor"), [("0", "1.1"), ("60", "1.05"), ("90", "1"), ("120", "0.95"), ("180", "0.9"), ("90,0", "1")]
)
def test_the_factor_is_exact_where_the_cosine_is(angle: str, factor: str) -> None:
    """Straight ahead, square and folded back carry no rounding at all."""
    expected = Decimal(factor)
    actual = correct(use(adapter(length_mm="50", angle_deg=angle))).factor

    assert expected == actual


def test_sockets_and_extensions_in_line_change_nothing() -> None:
    """What turns about the drive's own axis leaves the lever as it is."""
    socket, extension = Fitted("socket", {"length_mm": "40"}), Fitted("extension", {"length_mm": "250"})

    assert wrench_adapter.correct_setting(use()) is None
    assert wrench_adapter.correct_setting(use(socket, extension, lever=None)) is None
    assert Decimal("1.1") == correct(use(extension, adapter(**STRAIGHT), socket)).factor


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        (
            use(adapter(length_mm="300", angle_deg="180"), adapter(length_mm="200", angle_deg="180")),
            "together fold back",
        ),
        (use(adapter(**STRAIGHT, lever_u_mm="2"), adapter(**STRAIGHT, lever_u_mm="3")), "differently (2 and 3)"),
        (use(adapter(**STRAIGHT), adapter(length_mm="50")), "the adapter's angle_deg is missing"),
        (use(adapter(**STRAIGHT), lever=None), "the lever length of wrench W-2 is not known"),
        (use(adapter(**STRAIGHT), lever=None, wrench=""), "the lever length of the wrench is not known"),
        (use(adapter(**STRAIGHT), lever="0"), "the lever length must be above zero"),
        (use(adapter(angle_deg="0")), "the adapter's length_mm is missing"),
        (use(adapter(length_mm="50")), "the adapter's angle_deg is missing"),
        (use(adapter(length_mm="fifty", angle_deg="0")), 'the adapter\'s length_mm: "fifty" is not a plain number'),
        (use(adapter(length_mm="-50", angle_deg="0")), "write the angle 180"),
        (use(adapter(length_mm="50", angle_deg="181")), "must be 0 (straight ahead) to 180"),
        (use(adapter(length_mm="50", angle_deg="-1")), "must be 0 (straight ahead) to 180"),
        (use(adapter(length_mm="500", angle_deg="180")), "turn nothing or the wrong way"),
        (use(adapter(length_mm="1000", angle_deg="120")), "turn nothing or the wrong way"),
        (use(adapter(length_mm="600", angle_deg="180")), "turn nothing or the wrong way"),
        (use(adapter(**STRAIGHT, length_u_mm="-1")), "length_u_mm must be zero or above"),
    ],
)
def test_what_cannot_be_corrected_is_refused_with_a_sentence(asked: WrenchUse, why: str) -> None:
    """A missing measure is never guessed, and a wrench that would turn the wrong way is never given a factor."""
    with pytest.raises(ValueError, match=re.escape(why)):
        wrench_adapter.correct_setting(asked)


def test_assumed_uncertainties_say_that_the_workshop_assumed_them() -> None:
    """Where nothing is stated the budget names value, unit and whose assumption it is."""
    expected = [
        "lever length, u = 5 mm, the workshop's assumption",
        "adapter length, u = 1 mm, the workshop's assumption",
        "adapter angle, u = 5 degrees, the workshop's assumption",
    ]
    actual = [line.name for line in correct(use(adapter(**STRAIGHT))).budget]

    assert expected == actual


def test_the_budget_names_each_of_several_adapters() -> None:
    """By its place from the wrench on and its measures; the lever is one and stands once."""
    pair = use(adapter(length_mm="50", angle_deg="45", length_u_mm="0.5"), adapter(length_mm="30", angle_deg="0"))

    expected = [
        "lever length, u = 5 mm, the workshop's assumption",
        "adapter 1 (50 mm at 45°): length, u = 0.5 mm, as stated",
        "adapter 1 (50 mm at 45°): angle, u = 5 degrees, the workshop's assumption",
        "adapter 2 (30 mm at 0°): length, u = 1 mm, the workshop's assumption",
        "adapter 2 (30 mm at 0°): angle, u = 5 degrees, the workshop's assumption",
    ]
    actual = [line.name for line in correct(pair).budget]

    assert expected == actual


def test_stated_uncertainties_take_the_place_of_assumed_ones() -> None:
    """A workshop that measured better says so with the adapter: 0.5 mm on 550 mm is 1/1100; no doubt is no share."""
    stated = adapter(**STRAIGHT, length_u_mm="0,5", lever_u_mm="0")

    expected = [
        ("lever length, u = 0 mm, as stated", Decimal(0)),
        ("adapter length, u = 0.5 mm, as stated", Decimal("0.0009090909090909090909090909091")),
        ("adapter angle, u = 5 degrees, the workshop's assumption", Decimal(0)),
    ]
    actual = [(line.name, line.relative) for line in correct(use(stated)).budget]

    assert [name for name, _ in expected] == [name for name, _ in actual]
    for (_, wanted), (_, given_share) in zip(expected, actual, strict=True):
        assert abs(wanted - given_share) < Decimal("1e-27")


@pytest.mark.parametrize(
    ("factor", "cautioned"), [("0.4999", True), ("0.5", False), ("1", False), ("2", False), ("2.0001", True)]
)
def test_an_unusual_factor_is_cautioned(factor: str, *, cautioned: bool) -> None:
    """Outside 0.5 … 2 a small error of measuring becomes a large one of torque."""
    assert cautioned == bool(caution(Fraction(factor)))


@given(
    torque=st.decimals("0.1", 1000, places=2),
    lever=st.decimals(100, 1500, places=1),
    length=st.decimals(0, 400, places=1),
    angle=st.decimals(0, 180, places=1),
)
def test_setting_times_factor_is_the_torque_at_the_fastener(
    torque: Decimal, lever: Decimal, length: Decimal, angle: Decimal
) -> None:
    """Solving for the setting and correcting a setting are one formula read both ways."""
    assume(length < lever)
    geometry = Geometry(lever, (Arm(length, angle),))
    setting = setting_for(torque, geometry)

    difference = Fraction(setting) * factor_of(geometry) - Fraction(torque)

    assert abs(difference) < Fraction(torque) / 10**26
    assert (setting < torque) == (angle < 90 and length > 0)


def test_an_adapter_that_changes_much_comes_with_a_caution(workshop: Workshop) -> None:
    """A lever of 500 mm and 600 mm more, folded out: it stands on the pass that was done with it."""
    play(
        workshop,
        "2031-04-02 10:00 job 1 opened axle on V-1 by P-2\n"
        "2031-04-02 10:05 rear-axle-nut 49 N·m with W-1 adapter 600@0 by P-2",
    )
    expected = [
        (
            "rear axle nut: the adapter changes the torque by the factor 2.2, outside 0.5 to 2: measure lever, adapter "
            "and angle again, or use a shorter adapter."
        )
    ]

    assert expected == findings(workshop, rule="workshop_rules/correction-unusual", weight="caution")
    assert "" == correct(use(adapter(**STRAIGHT))).caution


def test_every_adapter_told_is_counted_and_shown_in_its_order(workshop: Workshop) -> None:
    """50 mm at 45° and 30 mm straight ahead on 500 mm: 100 set, 113.07 at the nut (vectors, worked out by hand)."""
    number = play(
        workshop,
        "2031-04-02 10:00 job 1 opened axle on V-1 by P-2\n"
        "2031-04-02 10:05 rear-axle-nut 100 N·m with W-1 adapter 50@45 and 30@0 by P-2",
    )
    done = next(each.done for each in show_job(workshop, number).fasteners if each.done)

    assert "100 N·m, adapter 50 mm at 45°, adapter 30 mm at 0°" == done.shown
    assert "113.1 N·m" in done.says


def test_an_ordinary_adapter_is_no_caution(workshop: Workshop) -> None:
    """50 mm on 500 mm."""
    play(
        workshop,
        "2031-04-02 10:00 job 1 opened axle on V-1 by P-2\n"
        "2031-04-02 10:05 rear-axle-nut 98 N·m with W-1 adapter 50@0 by P-2",
    )

    assert [] == findings(workshop, rule="workshop_rules/correction-unusual")
