"""The kinds of parts of a final drive, and what older records say of them in words of their own.

Where a kind offers choices the record holds one of them. A part that was told without a kind holds any words, which
`link_type_in` and `closed_end_in` read (decision 0051).
"""

import re
from collections.abc import Mapping
from typing import Any

from torqueaudit.plugin import Fit, PartAttribute, PartKind
from torqueaudit_plugins.final_drive.kinds.clip import CLOSED_END_LEADS, CLOSED_END_TRAILS
from torqueaudit_plugins.final_drive.table.content import CHAIN, FRONT, LINK, REAR, stated_in

TEETH, LINKS, SIZE, MATERIAL = "teeth", "links", "size", "material"
SEAL, MAKE, TYPE, CLOSED_END, WHY = "seal", "make and type", "type", "closed end", "why"

RIVET, CLIP = "rivet", "clip"
ALONG, AGAINST = "way of travel", "against the way of travel"
STEEL, ALUMINIUM = "steel", "aluminium"


def stated_part(fit: Fit, tables: Mapping[str, Mapping[str, Any]]) -> Mapping[str, str]:
    """What a procedure's own table states of a part of the drive, by the attribute it is written down under."""
    stated = stated_in(tables)
    role = next((role for role, keys in stated.parts.items() if fit.key in keys), "")
    if not role:
        return {}
    counts = {FRONT: (TEETH, stated.front), REAR: (TEETH, stated.rear), CHAIN: (LINKS, stated.links)}
    name, count = counts.get(role, ("", None))
    found = {SIZE: stated.size, name: str(count or ""), TYPE: stated.link if role == LINK else ""}
    return {name: value for name, value in found.items() if value and name in fit.attributes}


PART_KINDS = (
    PartKind(
        "chain",
        (
            PartAttribute(MAKE),
            PartAttribute(SIZE, digits=True),
            PartAttribute(LINKS, digits=True),
            PartAttribute(SEAL),
            PartAttribute(WHY),
        ),
        stated_part,
    ),
    PartKind(
        "chain link",
        (
            PartAttribute(MAKE),
            PartAttribute(SIZE, digits=True),
            PartAttribute(SEAL),
            PartAttribute(TYPE, (RIVET, CLIP)),
            PartAttribute(CLOSED_END, (ALONG, AGAINST), drawings=(CLOSED_END_LEADS, CLOSED_END_TRAILS)),
        ),
        stated_part,
    ),
    PartKind(
        "sprocket",
        (
            PartAttribute(TEETH, digits=True),
            PartAttribute(SIZE, digits=True),
            PartAttribute(MAKE),
            PartAttribute(MATERIAL, (STEEL, ALUMINIUM, "steel teeth on aluminium", "another")),
            PartAttribute(WHY),
        ),
        stated_part,
    ),
)


def link_type_in(told: str) -> str:
    """The type of a link, RIVET or CLIP, as it was chosen or told in other words; "" where neither was."""
    return next((kind for kind in (RIVET, CLIP) if kind in told.casefold()), "")


def closed_end_in(told: str) -> str:
    """Which way the closed end of a clip faces, ALONG or AGAINST, as it was chosen or told in other words; else "".

    The upper run travels forward and the lower run back, so "back" is right on the lower run; without a run it says
    nothing. "Forward" without a run is taken as on the upper one, where a clip is looked at.
    """
    words = told.casefold()
    if words in (ALONG, AGAINST):
        return words
    against = bool(re.search(r"against|opposite|contrary|away|trailing|reverse|\bnot\b", words))
    along = bool(re.search(r"travel|leading|rotation", words))
    lower, upper = bool(re.search(r"lower|bottom", words)), bool(re.search(r"upper|top", words))
    forward, back = bool(re.search(r"forward|front|ahead", words)), bool(re.search(r"back|rear", words))
    said = {not against} if along or against else set()
    if forward != back and (forward or lower or upper):
        said.add(back if lower else forward)
    return "" if len(said) != 1 else ALONG if said.pop() else AGAINST
