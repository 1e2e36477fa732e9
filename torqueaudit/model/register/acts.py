"""What a person can say of another one who works here."""

from datetime import date
from typing import Any, NamedTuple


class PersonChange(NamedTuple):
    """What is told anew of somebody; None leaves it as it was. The roles replace all; a supervisor "" is none."""

    roles: tuple[str, ...] | None = None
    supervisor: str | None = None
    start: date | None = None
    name: str = ""

    @property
    def said(self) -> dict[str, Any]:
        """As an entry holds it: of a name no more than that it is another one."""
        said: dict[str, Any] = {} if self.roles is None else {"roles": list(self.roles)}
        said |= {} if self.supervisor is None else {"supervisor": self.supervisor}
        said |= {"start": self.start.isoformat()} if self.start else {}
        return said | ({"renamed": True} if self.name else {})
