"""How strong bolts are: property classes of ISO 898-1."""

from typing import NamedTuple

from torqueaudit_plugins.clamp_load.calc.thread import Thread

THICK_ABOVE = 16.0  # mm; from there on class 8.8 is made of other steel


class PropertyClass(NamedTuple):
    """One class, MPa: where it yields (lower yield, 0.2 % proof or 0.0048 d proof strength, minimum), and proof."""

    name: str
    yield_mpa: float
    proof_mpa: float


# ISO 898-1:2013 table 3, from memory. Those above M16 replace the ones of the same name.
CLASSES = (
    PropertyClass("4.6", 240, 225),
    PropertyClass("4.8", 340, 310),
    PropertyClass("5.6", 300, 280),
    PropertyClass("5.8", 420, 380),
    PropertyClass("6.8", 480, 440),
    PropertyClass("8.8", 640, 580),
    PropertyClass("9.8", 720, 650),
    PropertyClass("10.9", 940, 830),
    PropertyClass("12.9", 1100, 970),
)
THICK = {"8.8": PropertyClass("8.8", 660, 600), "9.8": None}
_BY_NAME = {each.name: each for each in CLASSES}


def read_class(text: str, thread: Thread) -> PropertyClass:
    """The property class "10.9" (or "10,9") of a bolt of this size.

    Raises ValueError with a sentence for an unknown one and for one that is not made in this size.
    """
    name = text.strip().replace(",", ".")
    found = _BY_NAME.get(name)
    if found is None:
        raise ValueError(f'"{text[:20]}" is no property class known here; known are {", ".join(_BY_NAME)}')
    if thread.d_mm > THICK_ABOVE:
        found = THICK.get(name, found)
    if found is None:
        raise ValueError(f"class {name} is not made above M{THICK_ABOVE:g}")
    return found


def proof_load_n(thread: Thread, strength: PropertyClass) -> float:
    """The load that a bolt bears without lasting stretch: A_s · S_p (ISO 898-1)."""
    return thread.stress_area_mm2 * strength.proof_mpa
