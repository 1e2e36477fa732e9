"""An act that comes next, as data: each door words it, as a command to type or as a button."""

from typing import NamedTuple

from torqueaudit.model.register.permits import ActName


class Asked(NamedTuple):
    """One thing to be told with an act: a reading with its unit, or what is written down with a part.

    The name is empty where an act asks for one value alone.
    """

    name: str
    unit: str = ""


class Next(NamedTuple):
    """An act, and what it is done to: the key of a piece of work, or one position of a fastener.

    A rule says no more than these two. The rest is known to the workshop, which fills it in.
    """

    act: ActName
    key: str = ""
    stage: int = 0  # of a fastener that is tightened in stages, counted from 1
    angle: bool = False  # an angle is told as well
    adapter: bool = False  # and what is between the wrench and the fastener
    look: bool = False  # what is there already is looked at, and its state is not known before
    asks: tuple[Asked, ...] = ()
    only: tuple[str, ...] = ()  # of a job that is opened, the keys of the fasteners it is of alone
