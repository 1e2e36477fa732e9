"""The text of a TOML file that somebody wrote: a procedure, or the stock of a workshop's labels."""

from pathlib import Path

from torqueaudit.model.procedure.toml.values import LONGEST_TOML


def read_toml_text(file: Path) -> str:
    """What a file says, and no more of it than shows that it is too long. Raises ValueError with how to mend it.

    A mark at its beginning is left out.
    """
    try:
        with file.open(encoding="utf-8-sig") as opened:  # some editors begin a file with a mark
            return opened.read(LONGEST_TOML + 1)
    except OSError as error:
        raise ValueError(f"{file} cannot be read: {error.strerror}; look at its name") from error
    except UnicodeDecodeError as error:
        raise ValueError(f"{file} cannot be read: it is no UTF-8 text; save it as such") from error
