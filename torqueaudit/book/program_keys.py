"""The keys of other programs, beside the ledger: each as its SHA-256 alone, by the number of its program."""

from torqueaudit.book.tables import Tables

PROGRAM_KEYS = "program_keys"


class ProgramKeys(Tables):
    """The keys of programs in an engine. Every change is one transaction. Raises BookError."""

    def keep(self, program: str, digest: str) -> None:
        """Keep the key of a program that was let in."""
        with self._writing():
            self._run("insert into program_keys (program, digest) values (?, ?)", program, digest)

    def of(self, digest: str) -> str | None:
        """The number of the program whose key has this digest; None where none has."""
        found = self._rows("select program from program_keys where digest = ?", digest)
        return next((str(program) for (program,) in found), None)

    def seen(self) -> dict[str, str]:
        """Every program that has a key, with when it last asked for something; "" where it never did."""
        return {str(program): str(seen or "") for program, seen in self._rows("select program, seen from program_keys")}

    def see(self, program: str, now: str) -> None:
        """Note that a program asked for something."""
        with self._writing():
            self._run("update program_keys set seen = ? where program = ?", now, program)

    def take(self, program: str) -> None:
        """Take away the key of a program."""
        with self._writing():
            self._run("delete from program_keys where program = ?", program)
