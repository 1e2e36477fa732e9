"""Odometers and hour meters as people read them off."""

import re

from torqueaudit.model.register.distance import GROUPS, distance_text, length_m
from torqueaudit.model.torque.decimals import leading_number
from torqueaudit.model.vehicle.instrument import Hours, Run, hours_text

MOST_M = 9_999_999_000  # seven digits of kilometres
MOST_MIN = 99_999 * 60  # five digits of hours

_HOURS = r"(?i)(?<![a-z])h(?:ours?)?\s*$"
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


def read_run(text: str) -> Run:
    """What an odometer or an hour meter shows: "12 000 km" in whole metres, "12.5 h" in whole minutes.

    Raises ValueError, with a sentence, for anything else.
    """
    return _read_hours(text) if re.search(_HOURS, text) else read_odometer(text)


def _read_hours(text: str) -> Hours:
    number, _ = leading_number(re.sub(_HOURS, "", re.sub(GROUPS, "", text)))
    minutes = round(number * 60)
    if minutes > MOST_MIN:
        raise ValueError(f"{text}: no hour meter shows more than {hours_text(MOST_MIN)}; read it again")
    return Hours(minutes)
