"""Odometers as people read them off."""

import re

from torqueaudit.model.register.distance import distance_text, length_m

MOST_M = 9_999_999_000  # seven digits of kilometres

# A sign before exactly three digits: a thousand in one country, decimals in the next.
_THOUSANDS = r"\s*(?P<number>[1-9][0-9]{0,2}(?:[.,][0-9]{3})+)(?P<unit>[^0-9.,].*)?"


def read_odometer(text: str) -> int:
    """An odometer, "12 000 km" or "7500 mi", in whole metres.

    Raises ValueError without a unit, for "18.450 km", which may be thousands or decimals, and for more than any shows.
    """
    if read := re.fullmatch(_THOUSANDS, text):
        left, *groups = re.split("[.,]", read["number"])
        unit = (read["unit"] or "km").strip()
        whole = f"{left}{''.join(groups)} {unit}"
        if len(groups) > 1:
            raise ValueError(f"{text}: write an odometer without dots and commas for thousands, {whole}")
        decimals = f"{left}.{groups[0][:2]}".rstrip("0").rstrip(".")
        raise ValueError(f"{text}: this may be thousands or decimals; write {whole} or {decimals} {unit} to say which")
    metres = int(length_m(text))
    if metres > MOST_M:
        raise ValueError(f"{text}: no odometer shows more than {distance_text(MOST_M)}; read it again")
    return metres
