"""Who asks for a page: the device that was let in, and the person who signed in on it."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from torqueaudit.web.access import Reach

_NOTHING: Mapping[str, str] = MappingProxyType({})


class Asking(NamedTuple):
    """The device's number and the person's, "" where there is none; `chosen` is what stays chosen at the bench.

    `asleep` says that the person has to tell their PIN again before anything is shown or recorded. `form` is what a
    form has to bring back, so that no other page can send one in somebody's name.
    """

    device: str = ""
    person: str = ""
    reach: Reach = "stranger"
    chosen: Mapping[str, str] = _NOTHING
    asleep: bool = False
    form: str = ""
