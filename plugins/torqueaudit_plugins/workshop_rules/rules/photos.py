"""Is there the photo that the procedure asks for?

axle nut: no photo of it as it stands now. Photograph it before it is covered.
"""

from collections.abc import Iterator

from torqueaudit.plugin import (
    ActName,
    Around,
    FastenerState,
    Finding,
    Job,
    Next,
    Weight,
    subject_at,
)


def review_photos(job: Job, _: Around) -> Iterator[Finding]:
    """Tightened, and not photographed since; a photo that was erased is none."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions if fastener.photo else ():
            now = job.record.current(position)
            if now.state is not FastenerState.TIGHTENED or now.tightening is None:
                continue
            if not job.record.photographed(position, fastener.key):
                yield Finding(
                    rule="workshop_rules/not-photographed",
                    weight=Weight.CAUTION,
                    about=subject_at(fastener, position),
                    words="no photo of it as it stands now. Photograph it before it is covered.",
                    entry=now.tightening.noted.entry,
                    answer=Next(ActName.PHOTOGRAPH, fastener.key),
                    due=True,
                )
