"""PDF files handed to a printer of the system by `lp`."""

from collections.abc import Sequence

_PATIENCE = 60  # seconds for the spooler to take a file


class NotPrinted(Exception):  # it reads as what happened, and is no fault of the program
    """Why nothing was printed, or not everything, or why that is not known: what happened, and what to do."""


def spool(
    files: Sequence[bytes], printer: str, title: str, options: Sequence[str] = (), patience: float = _PATIENCE
) -> str:
    """Give PDF files to a printer of the system in their order, and give what `lp` answers.

    Each of several is titled with its number. `lp` has so many seconds of `patience` for one. Raises NotPrinted, with
    what the printer took before and what was not sent.
    """
    answers: list[str] = []
    for number, data in enumerate(files, 1):
        part = f" ({number} of {len(files)})" if len(files) > 1 else ""
        try:
            answers.append(_spool(data, printer, title + part, options, patience))
        except NotPrinted as refused:
            taken = f" Taken before it: {'; '.join(answers)}." if answers else ""
            left = len(files) - number
            unsent = f" Not sent: {left} of {len(files)} parts." if left else ""
            raise NotPrinted(f"{refused}{taken}{unsent}") from refused
    return "; ".join(answers)


def _spool(data: bytes, printer: str, title: str, options: Sequence[str], patience: float) -> str:
    """Give one PDF to `lp`.

    No shell sees the words: each is one argument, and `lp` reads the file from its input.
    """
    import subprocess  # few files go to a printer at once

    words = ["lp", "-d", printer, "-t", title, *(word for option in options for word in ("-o", option))]
    try:
        done = subprocess.run(words, input=data, capture_output=True, timeout=patience, check=False)  # noqa: S603
    except FileNotFoundError as error:
        raise NotPrinted(
            f"there is no `lp` on this machine, so “{title}” was not printed; install the print spooler's client (on "
            "Debian cups-client), or write a file and print that."
        ) from error
    except subprocess.TimeoutExpired as error:
        raise NotPrinted(
            f"printer {printer}: `lp` did not answer within {patience:g} seconds, so it is not known whether “{title}” "
            "is printed; look at the printer and what waits for it (`lpstat -o`) before you print it again."
        ) from error
    except OSError as error:
        raise NotPrinted(f"`lp` cannot be run ({error.strerror}), so “{title}” was not printed.") from error
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip() or f"exit code {done.returncode}"
        raise NotPrinted(f"printer {printer} did not take “{title}”: {said}; `lpstat -p` lists the printers.")
    return done.stdout.decode(errors="replace").strip()
