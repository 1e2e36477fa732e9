"""Finding a job by what stands on its label, and what can go wrong with the book meanwhile."""

from typing import TYPE_CHECKING

from torqueaudit.book.errors import BookError
from torqueaudit.book.queries import job_by_token

if TYPE_CHECKING:
    from torqueaudit.workshop.workshop import Workshop

__all__ = ["BookError", "job_of_token"]


def job_of_token(workshop: "Workshop", token: str) -> str | None:
    """Give the number of the job whose label carries this token (as `read_token` gives it); None when none does."""
    row = job_by_token(workshop.book, token)
    return None if row is None else str(row.job)
