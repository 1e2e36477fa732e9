"""What a mechanic should know before turning, beside the setting itself."""

from collections.abc import Iterator
from decimal import Decimal

from torqueaudit.model.judged.sentences import with_capital
from torqueaudit.model.procedure.in_book import ProcedureInBook
from torqueaudit.model.procedure.procedure import CASTLE_NUT, Fastener
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.verdict import provable
from torqueaudit.model.torque.words import angle_text, drag_caution, likely_text, limits_text, spread_text, torque_text
from torqueaudit.model.wrench.classes import SETTING
from torqueaudit.model.wrench.words import overload_text
from torqueaudit.plugins import Plugins
from torqueaudit.workshop.bench.choice import Choice, Question, calibrated_with, scale_of
from torqueaudit.workshop.judged.review import PLUGIN_BROKEN, remarks_on
from torqueaudit.workshop.wrenches.in_hand import InHand

AS_WELL_OUTSIDE = Decimal("0.55")  # where inside and outside are about as likely


def doubts_of(in_book: ProcedureInBook, fastener: Fastener, plugins: Plugins) -> Iterator[str]:
    """What is doubtful about the specification itself, whichever wrench is taken."""
    if not in_book.read_by:
        yield "Nobody has read this procedure against its source yet: compare the value with the document first."
    for remark in remarks_on(in_book.procedure, plugins):
        if remark.about.key == fastener.key or remark.rule == PLUGIN_BROKEN:
            yield remark.says


def cautions_of(asked: Question, taken: InHand, choice: Choice) -> Iterator[str]:
    """What to heed with this wrench, at this setting, on this fastener."""
    if taken.overload:
        says = overload_text(taken.wrench, taken.overload)
        yield f"Wrench {taken.wrench.number} {says}. Put it aside, or check it before it is used."
    if asked.fastener.adapter and not asked.fitted and not calibrated_with(taken):
        says = "The procedure says that a wrench reaches it with an adapter only, and this is the setting without one"
        yield f"{says}. Ask again with the adapter that is on the wrench."
    if calibrated_with(taken):
        yield f"Not without that adapter, nor with another: wrench {taken.wrench.number} is calibrated with it fitted."
    yield from (correction.caution for _, correction in choice.reached.corrections if correction.caution)
    yield from _of_proof(asked, taken, choice)
    if not taken.wrench.scales:
        yield f"The division of wrench {taken.wrench.number} is not known; set it as near as its scale shows."
    if asked.fastener.locking == CASTLE_NUT and choice.at_slot is None:
        yield "No mark of this wrench above that shows that the maximum holds at the slot: read it there with another."
    yield from _of_fastener(asked, taken)


def _of_proof(asked: Question, taken: InHand, choice: Choice) -> Iterator[str]:
    held, unit = choice.held, scale_of(taken.wrench).unit
    if held.expanded_nm is None:
        instead = f" {decimal_text(choice.proved)} {unit} would be proved." if choice.proved is not None else ""
        yield f"Nothing is proved: {held.why_not}.{instead}"
    elif not provable(held.expanded_nm, asked.lower_nm, asked.upper_nm, asked.guard_factor):
        wide = f"its uncertainty of {spread_text(held.expanded_nm)} is too wide for the tolerance. Take a better"
        if asked.guard_factor:
            yield f"Nothing this wrench shows could prove it: {wide} wrench where proof is wanted."
        else:
            says = "By simple acceptance it is in; nothing this wrench shows could prove it with a guard band of 1·U"
            yield f"{says}: {wide} wrench where proof is wanted."
    elif choice.proved is not None and choice.verdict.probability is not None:
        probability = choice.verdict.probability
        outside = "may as well lie outside" if probability < AS_WELL_OUTSIDE else "may still lie outside"
        yield (
            f"At {decimal_text(choice.setting)} {unit} it {outside} ({likely_text(probability)}); "
            f"{decimal_text(choice.proved)} {unit} would be proved."
        )


def _of_fastener(asked: Question, taken: InHand) -> Iterator[str]:
    specification = asked.fastener.specification
    if specification.angle is not None:
        yield f"The torque is only where it begins: turn it on by {angle_text(specification)}."
    if specification.final_written and taken.wrench.kind == SETTING:
        window = limits_text(specification.final_lower_nm, specification.final_upper_nm)
        yield (
            f"At the end of the angle {window} has to be read, and a wrench that clicks shows nothing there: take one "
            "that shows values."
        )
    if asked.fastener.locking == CASTLE_NUT and asked.upper_nm is not None:
        yield (
            f"A castle nut: begin here, turn on to the next slot within {torque_text(asked.upper_nm)}, never back. No "
            "slot within it: change the washer or the nut. A new pin each time."
        )
    if caution := drag_caution(specification, asked.drag and asked.drag.mean_nm):
        yield with_capital(caution)
    if asked.fastener.condition:
        yield f"The specification holds for this condition of the thread: {asked.fastener.condition}."
