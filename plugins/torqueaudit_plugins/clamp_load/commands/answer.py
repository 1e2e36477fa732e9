"""What the calculator `clamp` says: the same numbers as lines of text and as JSON."""

from typing import Any, NamedTuple

from torqueaudit_plugins.clamp_load.calc.clamp import SCATTER, Joint, friction_text, percent, scatter_n
from torqueaudit_plugins.clamp_load.calc.settling import Settling, lost
from torqueaudit_plugins.clamp_load.calc.strength import PropertyClass, proof_load_n
from torqueaudit_plugins.clamp_load.calc.thread import Thread

WARNINGS = (
    "An estimate, never a specification: the vehicle maker's manual prevails.",
    "It holds for a solid steel bolt in a nut or thread that is as strong; not for hollow axles or aluminium threads.",
)
NO_SEAT = (
    "no torque and clamp load: what a head of this size bears on is not known here; give --bearing-diameter and "
    "--hole-diameter"
)


class Answer(NamedTuple):
    """One bolt, and what was asked of it; `joint` is None where its seat is not known."""

    thread: Thread
    strength: PropertyClass
    utilisation: float
    joint: Joint | None = None
    torque_nm: float | None = None
    settling: Settling | None = None

    @property
    def clamp_load_n(self) -> float | None:
        """The clamp load of the torque asked for, else the one at `utilisation`; None past yield or without a seat."""
        if self.joint is None or (self.share_of_yield or 0) > 1:
            return None
        if self.torque_nm is not None:
            return self.joint.clamp_load_n(self.torque_nm)
        return self.joint.preload_n(self.strength.yield_mpa, self.utilisation)

    @property
    def yields_where_slippery(self) -> bool:
        """Whether that clamp load is past yield where friction makes the most of the torque."""
        if self.joint is None or self.clamp_load_n is None:
            return False
        torque = self.joint.torque_nm(self.clamp_load_n)
        return self.joint.slipperier().share_of_yield(torque, self.strength.yield_mpa) > 1

    @property
    def share_of_yield(self) -> float | None:
        """How much of yield the torque asked for uses, None where none was."""
        if self.joint is None or self.torque_nm is None:
            return None
        return self.joint.share_of_yield(self.torque_nm, self.strength.yield_mpa)


def content_of(answer: Answer) -> dict[str, Any]:
    """The answer as JSON: decimal strings of nine digits, and the two diameters as they are rounded."""
    thread, strength = answer.thread, answer.strength
    content: dict[str, Any] = {
        "thread": thread.name,
        "class": strength.name,
        "d2_mm": f"{thread.d2_mm:.3f}",
        "d3_mm": f"{thread.d3_mm:.3f}",
        "stress_area_mm2": _digits(thread.stress_area_mm2),
        "yield_mpa": f"{strength.yield_mpa:g}",
        "proof_load_n": _digits(proof_load_n(thread, strength)),
    }
    if answer.joint:
        content |= _assembly(answer, answer.joint)
    warnings = WARNINGS if answer.joint else (f"{NO_SEAT[:1].upper()}{NO_SEAT[1:]}.", *WARNINGS)
    return {**content, **_of_torque(answer), **_settled(answer), "warnings": warnings}


def _assembly(answer: Answer, joint: Joint) -> dict[str, str | bool]:
    preload = joint.preload_n(answer.strength.yield_mpa, answer.utilisation)
    least, most = scatter_n(preload)
    return {
        "thread_friction": f"{joint.thread_friction:g}",
        "head_friction": f"{joint.head_friction:g}",
        "utilisation": f"{answer.utilisation:g}",
        "preload_n": _digits(preload),
        "torque_nm": _digits(joint.torque_nm(preload)),
        "preload_low_n": _digits(least),
        "preload_high_n": _digits(most),
        "low_friction_past_yield": answer.yields_where_slippery,
    }


def _of_torque(answer: Answer) -> dict[str, str | None]:
    """What the torque asked for makes; past yield no clamp load can be said, and JSON has null there."""
    if answer.torque_nm is None or answer.share_of_yield is None:
        return {}
    clamp = answer.clamp_load_n
    loads = (None, None, None) if clamp is None else tuple(map(_digits, (clamp, *scatter_n(clamp))))
    return {
        "given_torque_nm": _digits(answer.torque_nm),
        "share_of_yield": _digits(answer.share_of_yield),
        **dict(zip(("clamp_load_n", "clamp_load_low_n", "clamp_load_high_n"), loads, strict=True)),
    }


def _settled(answer: Answer) -> dict[str, str]:
    if answer.settling is None:
        return {}
    clamp = answer.clamp_load_n
    share = {} if clamp is None else {"loss_share": _digits(answer.settling.loss_n / clamp)}
    return {"settling_um": _digits(answer.settling.settled_um), "loss_n": _digits(answer.settling.loss_n), **share}


def lines_of(answer: Answer) -> list[str]:
    """The answer for a person, the warnings last."""
    thread, strength = answer.thread, answer.strength
    strengths = f"yields at {strength.yield_mpa:g} MPa, proof load {_kn(proof_load_n(thread, strength))}"
    diameters = f"pitch diameter {thread.d2_mm:.3f} mm, minor diameter {thread.d3_mm:.3f} mm"
    lines = [
        f"{thread.name}, class {strength.name}: {strengths}",
        f"{diameters}, stress area {thread.stress_area_mm2:.4g} mm²",
    ]
    if answer.joint:
        lines += [*_assembly_lines(answer, answer.joint), *_torque_lines(answer), *_slippery_lines(answer)]
    else:
        lines.append(NO_SEAT)
    return [*lines, *_settling_lines(answer), *WARNINGS]


def _assembly_lines(answer: Answer, joint: Joint) -> list[str]:
    preload = joint.preload_n(answer.strength.yield_mpa, answer.utilisation)
    least, most = scatter_n(preload)
    torque, share = f"{joint.torque_nm(preload):.4g} N·m", f"{answer.utilisation * 100:.3g} % of yield"
    return [
        f"at {share}, {friction_text(joint)}: {torque} for an estimated clamp load of {_kn(preload)}",
        f"friction alone makes that {_kn(least)} to {_kn(most)} (±{percent(SCATTER)})",
    ]


def _torque_lines(answer: Answer) -> list[str]:
    if answer.torque_nm is None or answer.share_of_yield is None:
        return []
    torque, clamp = f"{answer.torque_nm:.5g} N·m", answer.clamp_load_n
    if clamp is None:
        limit = answer.torque_nm / answer.share_of_yield
        return [f"{torque}: past yield, which is at {limit:.4g} N·m. The bolt stretches for good or breaks"]
    least, most = scatter_n(clamp)
    share = percent(answer.share_of_yield)
    return [f"{torque}: estimated clamp load {_kn(clamp)} ({_kn(least)} to {_kn(most)}), {share} of yield"]


def _slippery_lines(answer: Answer) -> list[str]:
    if answer.joint is None or answer.clamp_load_n is None or not answer.yields_where_slippery:
        return []
    friction = answer.joint.slipperier()
    torque = answer.joint.torque_nm(answer.clamp_load_n)
    low = f"{min(friction.thread_friction, friction.head_friction):.2g}"
    return [f"where friction is as low as {low}, {torque:.4g} N·m takes the bolt past yield"]


def _settling_lines(answer: Answer) -> list[str]:
    if answer.settling is None:
        return []
    loss = f"settling by {answer.settling.settled_um:.4g} µm: expected loss {_kn(answer.settling.loss_n)}"
    clamp = answer.clamp_load_n
    return [loss if clamp is None else f"{loss}, {lost(answer.settling.loss_n, clamp)} of the estimated clamp load"]


def _digits(number: float) -> str:
    """Nine significant digits, zeros at the end kept; without exponent from a ten-thousandth to a thousand million."""
    return f"{number:#.9g}"


def _kn(newtons: float) -> str:
    return f"{newtons / 1000:.3g} kN"
