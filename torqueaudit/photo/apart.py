"""Reading a photo in a process of its own, which has limits of time and memory and ends with the photo."""

import json
import logging
import signal
import subprocess
import sys
from typing import IO

from torqueaudit.photo.decode import Seen
from torqueaudit.photo.pictures import NotRead

MOST_WAITED = 30  # seconds; more than the processor time it has, for it gives way to everything else

_PROGRAM = (sys.executable, "-P", "-m", "torqueaudit.photo.child")
_TOO_LONG = "this photo takes too long to read; photograph the label alone and from near, or type its token"
_BROKE_OFF = "reading this photo broke off, which is no fault of the photo; type the token of the label"
# How the system ends whoever takes too much of the processor; Windows has no such limit.
_ENDED = frozenset[int]() if sys.platform == "win32" else frozenset({-signal.SIGXCPU, -signal.SIGKILL})

logger = logging.getLogger(__name__)


def read_apart(photo: IO[bytes], seconds: float = MOST_WAITED) -> Seen:
    """Read the label in a photo that lies in a file of the system's, from where it stands. Raises NotRead.

    It is given up after so many seconds. The bytes go from the file to the other process and never into this one.
    """
    try:
        done = subprocess.run(_PROGRAM, stdin=photo, stdout=subprocess.PIPE, timeout=seconds, check=False)  # noqa: S603  # this very program
    except subprocess.TimeoutExpired as error:
        raise NotRead(_TOO_LONG) from error
    if done.returncode:
        logger.warning("reading a photo ended with %s", done.returncode)
        raise NotRead(_TOO_LONG if done.returncode in _ENDED else _BROKE_OFF)
    told = json.loads(done.stdout)
    if "not_read" in told:
        raise NotRead(told["not_read"])
    return Seen(**told)
