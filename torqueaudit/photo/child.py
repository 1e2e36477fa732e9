"""The program that reads one photo and ends, so that a picture made to harm spends its own time and memory alone.

    python -m torqueaudit.photo.child < PHOTO

It prints one JSON object: what the label says (the fields of `Seen`), or why there is nothing (`not_read`). It gives
way to every other program, and the system ends it when it takes more processor time than a photo needs.
"""

import json
import os
import signal
import sys
from contextlib import suppress

from torqueaudit.photo.decode import read_photo
from torqueaudit.photo.pictures import MOST_BYTES, TOO_LARGE, NotRead

MOST_SECONDS = 10  # of processor; what shows no label at all takes two
MOST_MEMORY = 160 * 1024 * 1024  # addresses, of which Python and the decoders take a tenth
LAST_IN_LINE = 19


def main() -> None:
    """Read a photo from standard input."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for whoever started this
    limit()
    try:
        answer = read_photo(sys.stdin.buffer.read(MOST_BYTES + 1))._asdict()
    except NotRead as error:
        answer = {"not_read": str(error)}
    except MemoryError:
        answer = {"not_read": TOO_LARGE}
    with suppress(BrokenPipeError):
        os.write(sys.stdout.fileno(), json.dumps(answer).encode())


def limit() -> None:
    """Take on the limits that the system keeps. Where it keeps none, whoever started this ends it after a while."""
    if sys.platform == "win32":
        return
    import resource

    os.nice(LAST_IN_LINE)
    limits = [(resource.RLIMIT_CORE, 0), (resource.RLIMIT_CPU, MOST_SECONDS)]
    if sys.platform == "linux":  # elsewhere a process has more addresses than that before it begins
        limits.append((resource.RLIMIT_AS, MOST_MEMORY))
    for which, most in limits:
        _, hard = resource.getrlimit(which)
        resource.setrlimit(which, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))


if __name__ == "__main__":
    main()
