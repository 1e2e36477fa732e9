"""What this version shows of the ledgers kept here, beside what was shown of them before.

    python tests/ledgers/again.py write VERSION     keep the new showing for the version to come, where it is another
    python tests/ledgers/again.py compare NAME      print where one ledger is shown otherwise

A difference is meant, and told in the changelog, or it is a fault of the program.
"""

import subprocess
import sys
from difflib import unified_diff
from pathlib import Path
from tempfile import TemporaryDirectory

from packaging.version import Version

HERE = Path(__file__).parent


def last_shown(kept: Path, before: str = "") -> str:
    """What the newest version that showed a ledger anew said of it, or the newest one before another."""
    later = [each.stem.removeprefix("shown-") for each in kept.glob("shown-*.txt")]
    versions = sorted((each for each in later if not before or Version(each) < Version(before)), key=Version)
    return (kept / (f"shown-{versions[-1]}.txt" if versions else "shown.txt")).read_text(encoding="utf-8")


def shown_of(kept: Path) -> str:
    """What the installed program shows of a ledger, in a book made of it."""
    with TemporaryDirectory() as folder:
        shown = subprocess.run([sys.executable, HERE / "show.py", kept, folder], check=True, capture_output=True)
    return shown.stdout.decode()


def write(version: str) -> None:
    """Show each anew."""
    for kept in sorted(each.parent for each in HERE.glob("*/head.json")):
        shown, file = shown_of(kept), kept / f"shown-{version}.txt"
        if shown == last_shown(kept, version):
            file.unlink(missing_ok=True)
        else:
            file.write_text(shown, encoding="utf-8")


def compare(name: str) -> None:
    """Print the lines that differ."""
    before, now = last_shown(HERE / name).splitlines(), shown_of(HERE / name).splitlines()
    sys.stdout.writelines(f"{line}\n" for line in unified_diff(before, now, "before", "now", lineterm="", n=0))


if __name__ == "__main__":
    {"write": write, "compare": compare}[sys.argv[1]](sys.argv[2])
