"""What installed distributions declare. Python looks through all of them at each question, so it is asked once."""

from functools import cache
from importlib.metadata import EntryPoints, entry_points

_everything = cache(entry_points)


def installed(group: str) -> EntryPoints:
    """The entry points of a group, as they were when the process first asked for any."""
    return _everything().select(group=group)
