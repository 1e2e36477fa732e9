"""Who asks for data: somebody signed in, by the two cookies of a browser."""

from collections.abc import Callable
from typing import Any, TypeAlias

import pytest

from torqueaudit.model.act import Came, Say
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.sessions import sign_in

Headers: TypeAlias = dict[str, str]


@pytest.fixture
def signed_in(yard: Any, pins: dict[str, str]) -> Callable[[str], Headers]:
    """Gives what the browser of somebody sends who signed in on a device of their own."""

    def cookies(person: str) -> Headers:
        code = invite(yard.workshop, Say(yard.foreman, came=Came("terminal")), f"office of {person}").code
        let_in = admit(yard.workshop, code)
        key = sign_in(yard.workshop, let_in.device, person, pins[person])
        return {"Cookie": f"device={let_in.key}; session={key}"}

    return cookies


@pytest.fixture
def foreman(signed_in: Callable[[str], Headers]) -> Headers:
    return signed_in("P-1")


@pytest.fixture
def mechanic(signed_in: Callable[[str], Headers]) -> Headers:
    return signed_in("P-2")
