"""One workshop's own rules: what its foreman asks for beyond what torqueaudit asks of everybody."""

from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from torqueaudit.plugin import (
    JOB,
    BudgetLine,
    Correction,
    ExtraSection,
    Finding,
    LabelContent,
    LabelKind,
    LabelLine,
    Night,
    TorqueUnit,
    Weight,
    WrenchUse,
    grouped,
    hookimpl,
    record_address,
    subject_at,
)

if TYPE_CHECKING:
    from torqueaudit.plugin import Around, Job, JobView, Settings

REQUIRES = 1  # the version of torqueaudit.plugin that this was written for

POUNDAL_FOOT = Fraction("0.138254954376") * Fraction("0.3048")  # 1 lb·ft/s² in newtons, times the foot in metres
MULTIPLIER = "multiplier"


@hookimpl
def torque_units() -> list[TorqueUnit]:
    """A unit that an old manual on the shelf is printed in."""
    return [TorqueUnit("pdl·ft", POUNDAL_FOOT, ("ft·pdl",))]


@hookimpl
def correct_setting(use: WrenchUse) -> Correction | None:
    """A torque multiplier under the wrench; its `gain` stands on its certificate, with 4 % at two sigma."""
    fitted = [part for part in use.fitted if part.kind == MULTIPLIER]
    if not fitted:
        return None
    if len(fitted) > 1 or "gain" not in fitted[0].attributes:
        raise ValueError("a multiplier is used alone and with the gain of its certificate; say gain")
    return Correction(MULTIPLIER, Decimal(fitted[0].attributes["gain"]), (BudgetLine("gain", Decimal("0.02")),))


@hookimpl
def review_job(job: "Job", around: "Around") -> list[Finding]:
    """Here the foreman looks at every wheel nut that a trainee tightened.

    rear axle nut: P-4 is a trainee, and the foreman has not looked at it.
    """
    foremen = {person.number for person in around.people.values() if "foreman" in person.roles}
    found = []
    for fastener in job.procedure.fasteners():
        for now in (job.record.current(position) for position in fastener.positions if fastener.holds == "wheel"):
            done, looked = now.tightening, now.check.noted.by if now.check else ""
            if done and done.noted.role == "trainee" and looked not in foremen:
                says = f"{done.noted.by} is a trainee, and the foreman has not looked at it."
                found.append(
                    Finding(
                        rule="shop_rules/foreman-looks",
                        weight=Weight.CAUTION,
                        about=subject_at(fastener, now.position),
                        words=says,
                        entry=done.noted.entry,
                    )
                )
    return found


@hookimpl
def label_kinds() -> list[LabelKind]:
    """A label for the shelf where the parts of a job wait; it fits the small roll only."""
    return [LabelKind("shelf", "for the shelf where a job's parts wait", frozenset({"roll-57x32"}), _shelf_label)]


def _shelf_label(job: "JobView", settings: "Settings") -> LabelContent:
    lines = (LabelLine("Parts for", job.vehicle_tag, job.vehicle), LabelLine("Opened", job.opening.on.isoformat()))
    address = record_address(settings, JOB, job.token)
    return LabelContent(
        title=f"job {job.number}",
        address=address,
        figure=job.number,
        token=grouped(job.token),
        lines=lines,
        demo=job.book.demo,
    )


@hookimpl
def report_sections(night: Night) -> list[ExtraSection]:
    """How much the night has to say, for the board in the kitchen."""
    rows = tuple((section.title, str(len(section.lines))) for section in night.sections if section.lines)
    return [ExtraSection("For the board", ("Read this at the morning round.",), ("what", "how many"), rows)]
