"""The fields of each piece of a procedure's text, in the order in which somebody types them from a printed page.

Each has the key of the text, whose words are in `model.procedure.words`; docs/procedure-keys.md describes every key.
"""

from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import NamedTuple

HEAD, SOURCE, RECHECK = "head", "source", "recheck"


class How(StrEnum):
    """How a field is typed."""

    TEXT = "text"
    LONG = "long"  # sentences
    LINES = "lines"  # one of several in each line
    PAIRS = "pairs"  # "posture: side stand" in each line
    TICK = "tick"
    UNTICK = "untick"  # a tick says no
    WHOLE = "whole"
    NUMBER = "number"
    CHOICE = "choice"
    ORDER = "order"  # "1, 3, 2" or "cross"
    TWO = "two"  # both ends, "2028 2031"
    PIECES = "pieces"  # ticks at other pieces of the procedure, by their keys


class Field(NamedTuple):
    """One field: its key, how it is typed, its own words where the key's do not do, a hint, and what may be chosen."""

    key: str
    how: How = How.TEXT
    says: str = ""
    hint: str = ""
    choices: Mapping[str, str] = {}
    of: tuple[str, ...] = ()  # the kinds of work that may be ticked


class Group(NamedTuple):
    """Fields that are typed together; those that are `rare` are shown when somebody asks for them."""

    title: str
    fields: tuple[Field, ...]
    rare: bool = False


_KEY = Field("key", says="short name", hint="a to z, 0 to 9 and hyphens; left empty, it is made of the name")
_NAME = Field("name", hint="as the mechanic knows it: “rear axle nut”")
_AFTER = Field(
    "after", How.PIECES, "comes after", "what has to be done before it", of=("tighten", "measure", "step", "fit")
)
_SAYS = Field("says", How.LONG)
_SOURCE = Field("source", How.CHOICE)
_PAGE = Field("page", hint="where it stands there: “8-10”")
_PICTURE = Field("picture", hint="the name of a JPEG or PNG that lies in the folder of the drafts")
_PICTURE_SAYS = Field("picture_says", says="the picture in words")
_HOLDS = {"": "nothing of these", "wheel": "a wheel", "sprocket": "a sprocket", "brake": "a brake"}

FIELDS: Mapping[str, tuple[Group, ...]] = {
    HEAD: (
        Group(
            "The whole",
            (
                Field("title", hint="in words: “Front wheel out and in”"),
                Field("edition", hint="of this procedure, such as 1"),
                Field("warnings", How.LINES, "warnings", "one in each line; they are shown before work starts"),
            ),
        ),
        Group(
            "Less often",
            (
                Field("needs", How.LINES, hint="plugins without which the job cannot be judged, one in each line"),
                Field(
                    "guard_factor", How.NUMBER, hint="0 is simple acceptance, 1 a guard band as wide as the uncertainty"
                ),
            ),
            rare=True,
        ),
    ),
    SOURCE: (
        Group(
            "Document",
            (
                Field("key", says="short name", hint="such as manual; a to z, 0 to 9 and hyphens"),
                Field("document", says="title", hint="as it is printed on it"),
                Field("edition", hint="as it is printed on it"),
                Field("model", says="motorcycle", hint="the model it holds for, as this workshop enters its vehicles"),
                Field(
                    "years",
                    How.TWO,
                    hint="the first and the last model year: 2028-2031; one alone is told twice",
                ),
                Field("frames", How.TWO, hint="the first and the last frame number, where the document limits them"),
            ),
        ),
    ),
    "tighten": (
        Group(
            "As it is printed",
            (
                _NAME,
                _SOURCE,
                _PAGE,
                Field("torque", hint="108 N·m, or 97 … 119 N·m, or at least 90 N·m, or at most 12 N·m"),
                Field("tolerance", hint="10 %, or 5 N·m, or +10 N·m / -0 N·m; “workshop” where none is printed"),
                Field("thread", hint="M18x1.5"),
                Field("property_class", hint="10.9"),
                Field(
                    "condition",
                    How.CHOICE,
                    choices={"": "not stated", "dry": "dry", "oiled": "oiled", "threadlocker": "threadlocker"},
                ),
                Field("cure_time_h", How.NUMBER, hint="of threadlocker"),
                Field("count", How.WHOLE, hint="of a group of equal ones, 2 to 20; empty for one"),
                Field("pattern", How.ORDER, hint="“cross”, or the numbers in the order they are turned: 1, 3, 2"),
                Field("stages", How.LINES, hint="one in each line: hand, 30 %, 70 %, 100 %"),
            ),
        ),
        Group(
            "What the workshop asks for",
            (
                Field("mark", How.TICK),
                Field("check", How.TICK),
                Field("photo", How.TICK),
                Field("holds", How.CHOICE, choices=_HOLDS),
                Field(
                    "single_use", How.LINES, hint="the short names of parts that are new each time, one in each line"
                ),
                _AFTER,
            ),
        ),
        Group(
            "Less often",
            (
                _KEY,
                Field("also", How.LINES, hint="further printed values, one in each line: 80 lbf·ft"),
                Field("direction", How.CHOICE, choices={"": "right", "left": "left"}),
                Field(
                    "adapter", How.CHOICE, choices={"": "not needed", "needed": "a wrench reaches it through one only"}
                ),
                Field("method", How.CHOICE, choices={"": "torque", "torque and angle": "torque and angle"}),
                Field("angle", hint="turned after the torque: 90°"),
                Field("angle_tolerance", hint="5°, where one is printed"),
                Field("final_torque", hint="what the wrench may show at its end: 60 … 110 N·m"),
                Field(
                    "prevailing_torque",
                    How.CHOICE,
                    choices={"": "included, or not self-locking", "excluded": "comes on top"},
                ),
                Field("prevailing_torque_min", hint="of a self-locking nut that is used again: 1 N·m"),
                Field("locking", How.CHOICE, choices={"": "none of these", "castle nut": "castle nut"}),
                Field("working_time_min", How.WHOLE, hint="of threadlocker"),
                _SAYS,
                _PICTURE,
                _PICTURE_SAYS,
            ),
            rare=True,
        ),
    ),
    "measure": (
        Group(
            "As it is printed",
            (
                _NAME,
                _SOURCE,
                _PAGE,
                Field("limit", says="both limits", hint="32 … 42 mm; or one of the next two"),
                Field("min", says="at least", hint="4.2 mm"),
                Field("max", says="at most", hint="0.15 mm"),
                Field("unit", hint="where no limit says it: mm"),
                Field("conditions", How.PAIRS, hint="one in each line: posture: side stand"),
            ),
        ),
        Group(
            "What the workshop asks for",
            (
                Field("again_after", How.PIECES, hint="fasteners whose torque makes it due again", of=("tighten",)),
                _AFTER,
            ),
        ),
        Group(
            "Less often",
            (
                _KEY,
                Field("kind", hint="of a plugin, such as chain wear; empty for a length"),
                _SAYS,
                _PICTURE,
                _PICTURE_SAYS,
            ),
            rare=True,
        ),
    ),
    "step": (
        Group(
            "What is done",
            (
                _NAME,
                Field("says", How.LONG, "what to do"),
                Field("look", How.TICK, "it is a look: in order, or a fault found"),
                Field("means", How.LONG, hint="and what to do then; only of a look"),
                _AFTER,
            ),
        ),
        Group(
            "Less often",
            (
                _KEY,
                Field("required", How.UNTICK, "it may be left out"),
                Field("proves", How.CHOICE, choices={"": "nothing", "brake": "the brake"}),
                Field(
                    "covers", How.PIECES, hint="fasteners that nobody sees any more once it is done", of=("tighten",)
                ),
                _PICTURE,
                _PICTURE_SAYS,
            ),
            rare=True,
        ),
    ),
    "fit": (
        Group(
            "What goes in",
            (
                _NAME,
                Field("part", hint="what it is, in words"),
                Field("single_use", How.TICK, "a new one each time"),
                Field("attributes", How.LINES, hint="what to write down with it, one in each line: make and type"),
                _AFTER,
            ),
        ),
        Group(
            "Less often",
            (_KEY, Field("kind", hint="of part, that a plugin knows"), _SAYS, _PICTURE, _PICTURE_SAYS),
            rare=True,
        ),
    ),
    RECHECK: (
        Group(
            "When it is due, whichever comes first",
            (
                Field("distance", hint="100 km or 62 mi"),
                Field("days", How.WHOLE),
                Field("hours", How.NUMBER),
                Field("grace_distance", hint="how much later it counts as missed"),
                Field("grace_days", How.WHOLE),
                Field("grace_hours", How.NUMBER),
            ),
        ),
        Group(
            "What is looked at again",
            (
                Field("marks", How.PIECES, of=("tighten",)),
                Field("measurements", How.PIECES, of=("measure",)),
                Field("torques", How.PIECES, of=("tighten",)),
            ),
        ),
    ),
}


def fields_of(kind: str) -> Iterator[Field]:
    """Every field of a kind of piece."""
    for group in FIELDS[kind]:
        yield from group.fields
