"""Who asks for a page: the device that was let in and the person who signed in on it, or another program."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from torqueaudit.model.act import Came, Say
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.web.access import Reach

BY_PROGRAM = Came("program", "key")
_NOTHING: Mapping[str, str] = MappingProxyType({})


class Asking(NamedTuple):
    """The device's number and the person's, "" where there is none; `chosen` is what stays chosen at the bench.

    `asleep` says that the person has to tell their PIN again before anything is shown or recorded. `form` is what a
    form has to bring back, so that no other page can send one in somebody's name. `program` is the number of another
    program that showed its key, and `role` what it was let in for.
    """

    device: str = ""
    person: str = ""
    reach: Reach = "stranger"
    chosen: Mapping[str, str] = _NOTHING
    asleep: bool = False
    form: str = ""
    program: str = ""
    role: ProgramRole | None = None

    @property
    def reads_names(self) -> bool:
        """Whether it is a program that was let in to read names."""
        return self.role is not None and self.role.reaches(ProgramRole.READS_NAMES)

    @property
    def say(self) -> Say:
        """Who is shown something, and by which door."""
        if self.program:
            return Say(self.program, came=BY_PROGRAM)
        return Say(self.person, came=Came("page", "PIN", self.device))
