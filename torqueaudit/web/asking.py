"""Who asks for a page: the device that was let in, and the person who signed in on it."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from torqueaudit.model.shown.access import Audience

_NOTHING: Mapping[str, str] = MappingProxyType({})


class Asking(NamedTuple):
    """The device's number and the person's, "" where there is none; `chosen` is what stays chosen at the bench.

    `asleep` says that the person has to show their PIN again before anything is recorded.
    """

    device: str = ""
    person: str = ""
    audience: Audience = "stranger"
    chosen: Mapping[str, str] = _NOTHING
    asleep: bool = False
