"""Numbers of people, vehicles, wrenches, devices, programs and entries, as people type them."""

import re

from torqueaudit.model.register.permits import NOT_A_PERSON

# The dashes that keyboards and copied texts have for a hyphen.
_NUMBER = "(?P<letter>[A-Za-z])[ \u2010-\u2013\u2212-]?0*(?P<digits>[0-9]+)"
_ENTRY = r"#? ?0*(?P<digits>[0-9]{1,15})"  # the ledger holds no higher one


def read_person_number(text: str) -> str:
    """Who speaks: "p3" is P-3, "Owner" is owner. What is built like neither is given back, for nobody has it."""
    named = text.strip().casefold()
    return named if named in NOT_A_PERSON else _number(text, "P")


def read_vehicle_number(text: str) -> str:
    """A vehicle: "v2" and "V 2" are V-2. What is built otherwise is given back, for no vehicle has it."""
    return _number(text, "V")


def read_wrench_number(text: str) -> str:
    """A wrench: "w-1" and "W1" are W-1. What is built otherwise is given back, for no wrench has it."""
    return _number(text, "W")


def read_device_number(text: str) -> str:
    """A device: "d3" and "D 3" are D-3. What is built otherwise is given back, for no device has it."""
    return _number(text, "D")


def read_program_number(text: str) -> str:
    """Another program: "a1" and "A 1" are A-1. What is built otherwise is given back, for no program has it."""
    return _number(text, "A")


def read_locked_number(text: str) -> str:
    """A person or a device, either of which may be locked: "p2" is P-2, and "d3" is D-3."""
    return read_person_number(read_device_number(text))


def read_known_number(text: str) -> str:
    """A vehicle or a person, of both of whom something is known outside the ledger: "v2" is V-2, and "p3" is P-3."""
    return read_vehicle_number(_number(text, "P"))


def read_entry_number(text: str) -> int:
    """An entry: "#77" or "77". Raises ValueError."""
    read = re.fullmatch(_ENTRY, text.strip())
    if read is None:
        raise ValueError(f"{text}: write an entry's number such as #77")
    return int(read["digits"])


def _number(text: str, letter: str) -> str:
    read = re.fullmatch(_NUMBER, text.strip())
    if read is None or read["letter"].upper() != letter:
        return text
    return f"{letter}-{read['digits']}"
