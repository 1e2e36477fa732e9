"""What a record shows of its final drive; short, for a phone's page has to come in one round trip."""

from torqueaudit.plugin import Around, ExtraSection, Job
from torqueaudit_plugins.final_drive.panels.after import after_panel
from torqueaudit_plugins.final_drive.panels.wear import wear_panel
from torqueaudit_plugins.final_drive.rules.axle_moves import AGAIN, moves_of
from torqueaudit_plugins.final_drive.table.content import Care, Stated, stated_in


def panels_of(job: Job, around: Around) -> list[ExtraSection]:
    """The panels that have something to say, what is to be done first."""
    if job.record.withdrawn:
        return []
    stated = stated_in(job.procedure.x)
    panels = (
        _to_move(job, around, stated),
        wear_panel(job, around, stated),
        after_panel(job, around),
        _care(job, stated),
    )
    return [panel for panel in panels if panel]


def _to_move(job: Job, around: Around, stated: Stated) -> ExtraSection | None:
    moves = moves_of(job, around, stated)
    if not moves:
        return None
    said = [f"{move.item.name[:1].upper()}{move.item.name[1:]}: {move.says}." for move in moves]
    return ExtraSection("What to move", (*said, AGAIN))


def _care(job: Job, stated: Stated) -> ExtraSection | None:
    """For whoever rides it, so from the release on."""
    if not stated.care or job.record.release is None:
        return None
    others = [each for each in stated.care if not each.follows]
    sentences = tuple(_advised(each, others) for each in stated.care if each.follows)
    return ExtraSection("Looking after the chain", sentences) if sentences else None


def _advised(care: Care, others: list[Care]) -> str:
    """The advice that is followed, and then what others advise on the same."""
    said = f"{care.what[:1].upper()}{care.what[1:]} {_how(care)} ({care.source}; followed here)."
    return " ".join([said, *(f"{each.source}, says: {_how(each)}." for each in others if each.what == care.what)])


def _how(care: Care) -> str:
    when = [f"every {care.every}"] * bool(care.every) + [care.season] * bool(care.season)
    return f"{', '.join(when)}: {care.advice}"
