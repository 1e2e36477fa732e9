"""Do the values that the source prints for one fastener say the same?

rear axle nut: the source prints 60 N·m and 6.0 kgf·m, which is 58.8 N·m; the first governs. Compare with the source.
"""

from collections.abc import Iterator

from torqueaudit.model.around import Around
from torqueaudit.model.finding import Finding, Weight
from torqueaudit.model.job import Job
from torqueaudit.model.words import torque_text


def review_specifications(job: Job, around: Around) -> Iterator[Finding]:
    """Secondary values are often coarsely converted; what rounding does not explain may be a slip of the source."""
    del around
    for fastener in job.procedure.fasteners():
        for other in fastener.specification.disagreeing():
            *lower, last = other.nm
            is_nm = " … ".join([*(torque_text(nm, bare=True) for nm in lower), torque_text(last)])
            says = (
                f"{fastener.name}: the source prints {fastener.specification.written} and {other.written}, which is "
                f"{is_nm}; the first governs. Compare with the source."
            )
            yield Finding("printed-values-disagree", Weight.CAUTION, fastener.name, says, job.record.opened.entry)
