r"""How a value is written into a unit file, so that systemd reads the very same value.

By systemd.syntax(7), “Quoting”: double quotes around a whole item, in which a quote and a backslash stand behind a
backslash. By systemd.unit(5), “Specifiers”: "%%" is a percent sign. By systemd.service(5), “Command lines”: a program
behind ":" is given its words without anything being put in the place of "$". An assignment ends with its line, so what
has a line break or another control character in it is refused. Some lists are read without the other escapes of C
("\n", "\x41"), so none of them is written.
"""

import re

_PLAIN = re.compile(r"[A-Za-z0-9_@+=:,./-]+")


def word(value: str) -> str:
    """A value as one word of an assignment, such as a path of a list. Raises ValueError where it cannot be written."""
    if unwritable := [sign for sign in value if not sign.isprintable()]:
        raise ValueError(f"{value!r} cannot stand in a unit of systemd, because of {unwritable[0]!r} in it")
    if _PLAIN.fullmatch(value):
        return value
    for sign, written in (("\\", r"\\"), ('"', r"\""), ("%", "%%")):
        value = value.replace(sign, written)
    return f'"{value}"'


def command(program: str, *words: str) -> str:
    """A program by its absolute path and its words, as `ExecStart=` reads them.

    Raises ValueError; so it does for quotes and backslashes in the path of a program, which systemd starts none of.
    """
    if any(sign in program for sign in "\"'\\"):
        raise ValueError(f"systemd starts no program whose path has a quotation mark or a backslash in it: {program}")
    return " ".join([word(f":{program}"), *map(word, words)])
