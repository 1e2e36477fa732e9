"""Style sheets and scripts of this room, as they stand within a page or beside it: without what nobody reads."""

from pathlib import Path

TEMPLATES = Path(__file__).with_name("templates")


def written_style(*names: str) -> str:
    """Style sheets of this room as one line."""
    texts = ((TEMPLATES / name).read_text(encoding="utf-8") for name in names)
    return " ".join(" ".join(text.split()) for text in texts)


def written_script(name: str) -> str:
    """A script of this room without comments, indents, and ends of lines that mean nothing.

    No string of it has several lines, or " // " in it.
    """
    lines = (TEMPLATES / name).read_text(encoding="utf-8").splitlines()
    told = (f" {line}".partition(" // ")[0].strip() for line in lines)
    return "".join(line if line.endswith(("{", ";", ",")) else f"{line}\n" for line in told if line)
