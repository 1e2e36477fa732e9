"""Words with a sign that nobody sees are refused by the one door that every act goes through."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening, Part
from torqueaudit.testing import procedure_head
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.steps_and_parts import fit
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle, report_loosened

BY = Say("P-1")
SIGNS = ("\0", "\n", "\x1b", "\x85", "\u200b", "\u202e", "\u2029", "\u2067", "\ufeff", "\ud800")
Act = Callable[[Workshop, str], object]
ACTS: dict[str, tuple[str, Act]] = {
    "a tag": ("tag: sign 5", lambda shop, sign: add_vehicle(shop, f"red {sign}", "M", None, {}, BY)),
    "a plate": ("plate: sign 1", lambda shop, sign: add_vehicle(shop, "r", "M", None, {"plate": f"{sign}1"}, BY)),
    "a name": ("name: sign 2", lambda shop, sign: add_person(shop, f"Q{sign}", ("mechanic",), "", BY)),
    "a reason": ("why: sign 4", lambda shop, sign: report_loosened(shop, "V-1", "nut", f"so {sign}", BY)),
    "a strike": ("why: sign 2", lambda shop, sign: strike(shop, "1", 1, f"x{sign}", BY)),
    "a lot": ("lot: sign 2", lambda shop, sign: fit(shop, "1", "washer", Part("18 mm", f"L{sign}"), BY)),
    "a telephone": ("telephone: sign 2", lambda shop, sign: settle(shop, {"telephone": f"1{sign}"}, BY)),
    "who says it": ("this: sign 4", lambda shop, sign: add_vehicle(shop, "r", "M", None, {}, Say(f"P-1{sign}"))),
    "an id": ("this: sign 2", lambda shop, sign: add_vehicle(shop, "r", "M", None, {}, Say("P-1", id=f"a{sign}"))),
}


@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("what", ACTS)
def test_no_act_takes_a_sign_that_nobody_sees(workshop: Workshop, what: str, sign: str) -> None:
    """Controls, line ends, what has no width, what turns the words, and half a character; nothing is recorded."""
    open_job(workshop, Opening("V-1", workshop.full_digest("final-drive")), BY)
    before = workshop.book.head()
    says, act = ACTS[what]
    with pytest.raises(Refused, match=rf"{says} is U\+{ord(sign):04X} ") as refused:
        act(workshop, sign)

    assert before == workshop.book.head()
    assert sign == "\n" or sign not in refused.value.says


def test_a_procedure_has_lines_and_tabs(workshop: Workshop, tmp_path: Path) -> None:
    """Its text is entered as it was written."""
    file = tmp_path / "fork.toml"
    head = procedure_head("fork")
    file.write_bytes(f'{head}\n[[work]]\n\tstep = "look"\r\n\tname = "Look"\r\n\tsays = "Look at it"\r\n'.encode())

    assert enter_procedure(workshop, file, BY)
