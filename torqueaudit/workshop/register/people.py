"""People entered: who records and checks here."""

from typing import Any

from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.permits import ROLES
from torqueaudit.workshop.door.numbers import enter
from torqueaudit.workshop.door.workshop import Workshop


def add_person(workshop: Workshop, name: str, roles: tuple[str, ...], supervisor: str, say: Say) -> str:
    """Enter somebody who works here; returns their number. The name stays outside the ledger.

    Raises Refused for an unknown role, or a trainee without a supervisor.
    """
    unknown = [role for role in roles if role not in ROLES]
    if unknown or not roles:
        raise Refused(f"{', '.join(unknown) or 'no role'}: a role is mechanic, trainee or foreman")
    if "trainee" in roles and not supervisor:
        raise Refused("a trainee has a supervisor who answers for the work", See(Topic.SUPERVISOR))
    answers = workshop.person(supervisor) if supervisor else None
    if supervisor and answers is None:
        raise Refused(f"{supervisor}: nobody of that number works here")
    if answers and answers.roles == ("trainee",):
        raise Refused(f"{supervisor} is a trainee and cannot answer for another; name a mechanic or foreman")
    said: dict[str, Any] = {"roles": list(roles), **({"supervisor": supervisor} if supervisor else {})}
    return enter(workshop, "person", "P", said, {"name": name}, say)
