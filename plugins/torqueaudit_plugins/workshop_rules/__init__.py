"""The workshop's own rules, through the same hook as any other plugin's: one module for each family."""

from torqueaudit.plugin import Around, Finding, Job, Procedure, Remark, Tightening, hookimpl
from torqueaudit_plugins.workshop_rules.rules.again import review_again
from torqueaudit_plugins.workshop_rules.rules.checks import review_checks
from torqueaudit_plugins.workshop_rules.rules.marks import review_marks
from torqueaudit_plugins.workshop_rules.rules.order import review_order
from torqueaudit_plugins.workshop_rules.rules.photos import review_photos
from torqueaudit_plugins.workshop_rules.rules.proof import review_proof
from torqueaudit_plugins.workshop_rules.rules.records import review_records
from torqueaudit_plugins.workshop_rules.rules.specifications import review_specifications
from torqueaudit_plugins.workshop_rules.rules.tightness import review_tightness
from torqueaudit_plugins.workshop_rules.rules.work import review_work


@hookimpl
def review_job(job: Job, around: Around) -> list[Finding]:
    """Every finding of every family."""
    families = [
        review_tightness,
        review_again,
        review_proof,
        review_order,
        review_marks,
        review_checks,
        review_photos,
        review_work,
        review_records,
    ]
    if job.record.hand_over:
        from torqueaudit_plugins.workshop_rules.rules.rechecks import review_rechecks  # before that there is none

        families.append(review_rechecks)
    if any(done.wrench for done in job.record.of(Tightening)):
        from torqueaudit_plugins.workshop_rules.rules.wrenches import (
            review_wrenches,  # all that is known of wrenches is much
        )

        families.append(review_wrenches)
    return [finding for family in families for finding in family(job, around)]


@hookimpl
def rules_follow_entries() -> bool:
    """No day or clock changes what these rules stop."""
    return True


@hookimpl
def review_procedure(procedure: Procedure) -> list[Remark]:
    """What is doubtful about the specified values themselves."""
    return list(review_specifications(procedure))
