"""What authors of plugins import: the one face of torqueaudit for them, typed, kept until `API_VERSION` changes.

A plugin is a module named by an entry point of the group `torqueaudit`. Its functions marked with `@hookimpl` are named
and called as docs/hooks.md says; `torqueaudit.plugin.commands` has what a plugin's command needs, and
`torqueaudit.testing` what its tests need. Nothing else of torqueaudit is promised to stay.

`API_VERSION` is one more when a name or a hook is taken away or changes its meaning, and not when one is added. A
plugin that writes `REQUIRES = 1` into its module is loaded by version 1 only; by any other it is told as a plugin that
cannot be loaded, and stops the jobs that need it.

What there is:

- `hookimpl`, which marks a hook
- a job as a rule reads it: `Job`, its `JobRecord`, the `Current` of a fastener, and the facts `Tightening`, `MarkSeen`,
  `Measured`, `StepDone`, `PartFitted`, … with `asked_text`, `measured_text` and `fault_text`
- what lies around it: `Around`, with `Settings`, `Vehicle`, `Person`, `Wrench`, and what other jobs did on the vehicle
- what a rule answers: `Finding` with its `Weight`, its `Subject` (`subject_at` for one bolt, `subject_of` for any other
  work) and the act that answers it (`Next`, `ActName`), and what the end of its sentence refers to (`See`, `Topic`);
  what a re-check may not turn, and the job that follows it (`may_turn`, `on_a_job_that_follows`); of a procedure's own
  values `Remark`
- a procedure and its work: `Procedure`, `Fastener`, `Measurement`, `Step`, `Fit`; a table of yours in it:
  `ProcedureTable`, `Table`, of the text of a file (`read_toml_text`); a kind of measurement: `MeasurementKind`,
  `InputSpec`, `Readings`, `Reading`, `Derived`; a kind of part: `PartKind`, `PartAttribute`, and what is drawn beside a
  choice: `Drawing`, `Stroke`
- torques: `TorqueUnit`, `Torque`, `UnitTable`, `Specification`, `Verdict`; what is fitted to a wrench: `WrenchUse`,
  `Correction`, `BudgetLine`; the words for them: `torque_text`, `limits_text`, `format_number`, …
- what is shown: `ExtraSection` (a panel of a record, a section of a report) with its `Chart`; `LabelKind`,
  `LabelContent`, `LabelLine` with its rank (`HEAD_LINE`, `MAIN_LINE`, `SPARE_LINE`), made of a `JobView` or a
  `WrenchView`, printed on a `LabelStock` as a `LabelFile`; the nightly report `Night`
- reminders: a `Reminder` of a `ReminderKind` with its `OwnerView`, sent to a `Contact` by your way (`SentBy`, or raise
  `NotSent`), by mail through a `Post`; the words for days and distances (`day_text`, `far_text`,
  `when_back`), and the re-check as an `Event` of a calendar (`recheck_event`, `calendar_file`)
- logs of wrenches: a `LogSource` read into `LogRows`, each a `LogRow` of one `Cell` a column, at most `MOST_ROWS`;
  where a file may be made to harm, in a process of its own that takes on its `limit`: `answer_apart`, which raises
  `Ended`
"""

from typing import TYPE_CHECKING, Any

from torqueaudit.hooks import API_VERSION as API_VERSION
from torqueaudit.hooks import hookimpl as hookimpl
from torqueaudit.plugin.late import all_names, asked_of

# Two lists of the same names: the first is what type checkers read, the second what a running plugin gets.
if TYPE_CHECKING:
    from torqueaudit.apart import Ended as Ended
    from torqueaudit.apart import answer_apart as answer_apart
    from torqueaudit.apart import limit as limit
    from torqueaudit.model.act import See as See
    from torqueaudit.model.act import Topic as Topic
    from torqueaudit.model.job.facts import AtSlot as AtSlot
    from torqueaudit.model.job.facts import Check as Check
    from torqueaudit.model.job.facts import CheckMethod as CheckMethod
    from torqueaudit.model.job.facts import Concession as Concession
    from torqueaudit.model.job.facts import Fact as Fact
    from torqueaudit.model.job.facts import Input as Input
    from torqueaudit.model.job.facts import Logged as Logged
    from torqueaudit.model.job.facts import Loosening as Loosening
    from torqueaudit.model.job.facts import MarkSeen as MarkSeen
    from torqueaudit.model.job.facts import MarkState as MarkState
    from torqueaudit.model.job.facts import Measured as Measured
    from torqueaudit.model.job.facts import Outcome as Outcome
    from torqueaudit.model.job.facts import PartFitted as PartFitted
    from torqueaudit.model.job.facts import Release as Release
    from torqueaudit.model.job.facts import Slot as Slot
    from torqueaudit.model.job.facts import StepDone as StepDone
    from torqueaudit.model.job.facts import Strike as Strike
    from torqueaudit.model.job.facts import Tightening as Tightening
    from torqueaudit.model.job.noted import Noted as Noted
    from torqueaudit.model.job.record import Current as Current
    from torqueaudit.model.job.record import FastenerState as FastenerState
    from torqueaudit.model.job.record import Job as Job
    from torqueaudit.model.job.record import JobRecord as JobRecord
    from torqueaudit.model.job.record import JobState as JobState
    from torqueaudit.model.job.record import current_of as current_of
    from torqueaudit.model.job.road import HandOver as HandOver
    from torqueaudit.model.job.road import Recheck as Recheck
    from torqueaudit.model.job.road import RecheckAnswered as RecheckAnswered
    from torqueaudit.model.job.road import RecheckPostponed as RecheckPostponed
    from torqueaudit.model.job.road import RecheckReferred as RecheckReferred
    from torqueaudit.model.job.road import RecheckRefused as RecheckRefused
    from torqueaudit.model.job.road import Ride as Ride
    from torqueaudit.model.job.words import asked_text as asked_text
    from torqueaudit.model.job.words import fault_text as fault_text
    from torqueaudit.model.job.words import measured_text as measured_text
    from torqueaudit.model.job.words import most_shown_text as most_shown_text
    from torqueaudit.model.judged.around import Anew as Anew
    from torqueaudit.model.judged.around import Around as Around
    from torqueaudit.model.judged.around import FollowUp as FollowUp
    from torqueaudit.model.judged.around import PluginTrouble as PluginTrouble
    from torqueaudit.model.judged.around import VehicleEvent as VehicleEvent
    from torqueaudit.model.judged.around import VehicleHours as VehicleHours
    from torqueaudit.model.judged.around import VehicleMeasurement as VehicleMeasurement
    from torqueaudit.model.judged.around import VehicleOdometer as VehicleOdometer
    from torqueaudit.model.judged.around import VehiclePart as VehiclePart
    from torqueaudit.model.judged.beyond import Following as Following
    from torqueaudit.model.judged.beyond import is_at_recheck as is_at_recheck
    from torqueaudit.model.judged.beyond import may_turn as may_turn
    from torqueaudit.model.judged.beyond import on_a_job_that_follows as on_a_job_that_follows
    from torqueaudit.model.judged.beyond import turned_since_it_left as turned_since_it_left
    from torqueaudit.model.judged.finding import Finding as Finding
    from torqueaudit.model.judged.finding import Remark as Remark
    from torqueaudit.model.judged.finding import Weight as Weight
    from torqueaudit.model.judged.next import Next as Next
    from torqueaudit.model.judged.subject import Subject as Subject
    from torqueaudit.model.judged.subject import subject_at as subject_at
    from torqueaudit.model.judged.subject import subject_of as subject_of
    from torqueaudit.model.judged.validity import holding_of as holding_of
    from torqueaudit.model.listed import listed as listed
    from torqueaudit.model.log.rows import MOST_ROWS as MOST_ROWS
    from torqueaudit.model.log.rows import Cell as Cell
    from torqueaudit.model.log.rows import LogRow as LogRow
    from torqueaudit.model.log.rows import LogRows as LogRows
    from torqueaudit.model.log.rows import LogSource as LogSource
    from torqueaudit.model.nearest import did_you_mean as did_you_mean
    from torqueaudit.model.nearest import digits_meant as digits_meant
    from torqueaudit.model.numbers import MOST_DIGITS as MOST_DIGITS
    from torqueaudit.model.numbers import MOST_IN as MOST_IN
    from torqueaudit.model.numbers import read_decimal as read_decimal
    from torqueaudit.model.procedure.drawing import Drawing as Drawing
    from torqueaudit.model.procedure.drawing import Stroke as Stroke
    from torqueaudit.model.procedure.kinds import Derived as Derived
    from torqueaudit.model.procedure.kinds import InputSpec as InputSpec
    from torqueaudit.model.procedure.kinds import MeasurementKind as MeasurementKind
    from torqueaudit.model.procedure.kinds import Reading as Reading
    from torqueaudit.model.procedure.kinds import Readings as Readings
    from torqueaudit.model.procedure.part_kinds import PartAttribute as PartAttribute
    from torqueaudit.model.procedure.part_kinds import PartKind as PartKind
    from torqueaudit.model.procedure.procedure import CASTLE_NUT as CASTLE_NUT
    from torqueaudit.model.procedure.procedure import THREADLOCKER as THREADLOCKER
    from torqueaudit.model.procedure.procedure import Fastener as Fastener
    from torqueaudit.model.procedure.procedure import Fit as Fit
    from torqueaudit.model.procedure.procedure import Measurement as Measurement
    from torqueaudit.model.procedure.procedure import Plain as Plain
    from torqueaudit.model.procedure.procedure import Procedure as Procedure
    from torqueaudit.model.procedure.procedure import Step as Step
    from torqueaudit.model.procedure.procedure import Work as Work
    from torqueaudit.model.procedure.toml.lines import Lines as Lines
    from torqueaudit.model.procedure.toml.tables import ProcedureTable as ProcedureTable
    from torqueaudit.model.procedure.toml.values import Mistake as Mistake
    from torqueaudit.model.procedure.toml.values import Table as Table
    from torqueaudit.model.recheck.looks import fault_elsewhere as fault_elsewhere
    from torqueaudit.model.recheck.looks import looks_since as looks_since
    from torqueaudit.model.recheck.reminders import ReminderKind as ReminderKind
    from torqueaudit.model.recheck.state import WAITING as WAITING
    from torqueaudit.model.recheck.state import RecheckState as RecheckState
    from torqueaudit.model.register.distance import GROUPS as GROUPS
    from torqueaudit.model.register.distance import distance_text as distance_text
    from torqueaudit.model.register.distance import length_m as length_m
    from torqueaudit.model.register.people import Person as Person
    from torqueaudit.model.register.permits import ActName as ActName
    from torqueaudit.model.register.settings import Settings as Settings
    from torqueaudit.model.register.token import grouped as grouped
    from torqueaudit.model.shown.job import FastenerView as FastenerView
    from torqueaudit.model.shown.job import JobView as JobView
    from torqueaudit.model.shown.label import HEAD_LINE as HEAD_LINE
    from torqueaudit.model.shown.label import JOB as JOB
    from torqueaudit.model.shown.label import MAIN_LINE as MAIN_LINE
    from torqueaudit.model.shown.label import PERSON as PERSON
    from torqueaudit.model.shown.label import SPARE_LINE as SPARE_LINE
    from torqueaudit.model.shown.label import WRENCH as WRENCH
    from torqueaudit.model.shown.label import LabelContent as LabelContent
    from torqueaudit.model.shown.label import LabelFile as LabelFile
    from torqueaudit.model.shown.label import LabelKind as LabelKind
    from torqueaudit.model.shown.label import LabelLine as LabelLine
    from torqueaudit.model.shown.label import LabelStock as LabelStock
    from torqueaudit.model.shown.label import allows_capitals as allows_capitals
    from torqueaudit.model.shown.label import is_own as is_own
    from torqueaudit.model.shown.label import record_address as record_address
    from torqueaudit.model.shown.night import Night as Night
    from torqueaudit.model.shown.night import NightJob as NightJob
    from torqueaudit.model.shown.night import NightSection as NightSection
    from torqueaudit.model.shown.owner import NO_BREAK as NO_BREAK
    from torqueaudit.model.shown.owner import NoDay as NoDay
    from torqueaudit.model.shown.owner import OwnerView as OwnerView
    from torqueaudit.model.shown.owner import Safety as Safety
    from torqueaudit.model.shown.owner import WhenBack as WhenBack
    from torqueaudit.model.shown.owner import call_of as call_of
    from torqueaudit.model.shown.owner import day_text as day_text
    from torqueaudit.model.shown.owner import far_text as far_text
    from torqueaudit.model.shown.owner import when_back as when_back
    from torqueaudit.model.shown.recheck import recheck_words as recheck_words
    from torqueaudit.model.shown.recheck import stands_words as stands_words
    from torqueaudit.model.shown.reminder import CalendarDay as CalendarDay
    from torqueaudit.model.shown.reminder import Contact as Contact
    from torqueaudit.model.shown.reminder import NotSent as NotSent
    from torqueaudit.model.shown.reminder import Post as Post
    from torqueaudit.model.shown.reminder import Reminder as Reminder
    from torqueaudit.model.shown.reminder import SentBy as SentBy
    from torqueaudit.model.shown.section import Chart as Chart
    from torqueaudit.model.shown.section import ExtraSection as ExtraSection
    from torqueaudit.model.shown.wrench import WrenchView as WrenchView
    from torqueaudit.model.torque.correction import BudgetLine as BudgetLine
    from torqueaudit.model.torque.correction import Correction as Correction
    from torqueaudit.model.torque.correction import Fitted as Fitted
    from torqueaudit.model.torque.correction import WrenchUse as WrenchUse
    from torqueaudit.model.torque.decimals import leading_number as leading_number
    from torqueaudit.model.torque.decimals import told_beside as told_beside
    from torqueaudit.model.torque.fitted import fitted_of as fitted_of
    from torqueaudit.model.torque.fitted import fitted_text as fitted_text
    from torqueaudit.model.torque.fitted import measure_of as measure_of
    from torqueaudit.model.torque.fitted import same_fitted as same_fitted
    from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE as TORQUE_AND_ANGLE
    from torqueaudit.model.torque.specification import Specification as Specification
    from torqueaudit.model.torque.specification import within as within
    from torqueaudit.model.torque.units import NEWTON_METRE as NEWTON_METRE
    from torqueaudit.model.torque.units import PRECISION as PRECISION
    from torqueaudit.model.torque.units import Torque as Torque
    from torqueaudit.model.torque.units import TorqueUnit as TorqueUnit
    from torqueaudit.model.torque.units import UnitTable as UnitTable
    from torqueaudit.model.torque.units import format_number as format_number
    from torqueaudit.model.torque.units import to_decimal as to_decimal
    from torqueaudit.model.torque.verdict import IN as IN
    from torqueaudit.model.torque.verdict import IN_NOT_PROVED as IN_NOT_PROVED
    from torqueaudit.model.torque.verdict import NOT_JUDGED as NOT_JUDGED
    from torqueaudit.model.torque.verdict import SIMPLE as SIMPLE
    from torqueaudit.model.torque.verdict import Verdict as Verdict
    from torqueaudit.model.torque.verdict import guard_factor_in as guard_factor_in
    from torqueaudit.model.torque.verdict import provable as provable
    from torqueaudit.model.torque.verdict import verdict_of as verdict_of
    from torqueaudit.model.torque.words import aim_text as aim_text
    from torqueaudit.model.torque.words import applied_text as applied_text
    from torqueaudit.model.torque.words import at_seat_text as at_seat_text
    from torqueaudit.model.torque.words import digits_apart as digits_apart
    from torqueaudit.model.torque.words import drag_caution as drag_caution
    from torqueaudit.model.torque.words import likely_text as likely_text
    from torqueaudit.model.torque.words import limits_text as limits_text
    from torqueaudit.model.torque.words import share_text as share_text
    from torqueaudit.model.torque.words import spread_text as spread_text
    from torqueaudit.model.torque.words import torque_text as torque_text
    from torqueaudit.model.vehicle.instrument import Hours as Hours
    from torqueaudit.model.vehicle.instrument import Instrument as Instrument
    from torqueaudit.model.vehicle.instrument import hours_text as hours_text
    from torqueaudit.model.vehicle.instrument import run_text as run_text
    from torqueaudit.model.vehicle.vehicle import Holding as Holding
    from torqueaudit.model.vehicle.vehicle import Vehicle as Vehicle
    from torqueaudit.model.wrench.classes import SETTING as SETTING
    from torqueaudit.model.wrench.doubt import Doubt as Doubt
    from torqueaudit.model.wrench.doubt import Known as Known
    from torqueaudit.model.wrench.doubt import doubt_of as doubt_of
    from torqueaudit.model.wrench.doubt import known_of as known_of
    from torqueaudit.model.wrench.kind import why_not_told as why_not_told
    from torqueaudit.model.wrench.overload import Overload as Overload
    from torqueaudit.model.wrench.scale import number_told as number_told
    from torqueaudit.model.wrench.scale import scale_read as scale_read
    from torqueaudit.model.wrench.words import cycles_text as cycles_text
    from torqueaudit.model.wrench.words import overload_text as overload_text
    from torqueaudit.model.wrench.words import percent_text as percent_text
    from torqueaudit.model.wrench.words import reach_text as reach_text
    from torqueaudit.model.wrench.wrench import BOTH as BOTH
    from torqueaudit.model.wrench.wrench import Wrench as Wrench
    from torqueaudit.read.adapter import read_adapter as read_adapter
    from torqueaudit.read.number import read_person_number as read_person_number
    from torqueaudit.read.number import read_vehicle_number as read_vehicle_number
    from torqueaudit.read.number import read_wrench_number as read_wrench_number
    from torqueaudit.read.toml_text import read_toml_text as read_toml_text
    from torqueaudit.reports.calendar import Event as Event
    from torqueaudit.reports.calendar import calendar_file as calendar_file
    from torqueaudit.reports.calendar import recheck_event as recheck_event
    from torqueaudit.signs import seen as seen
    from torqueaudit.workshop.wrenches.view import IN_USE as IN_USE
    from torqueaudit.workshop.wrenches.view import WITHDRAWN as WITHDRAWN
else:
    _HOMES = {
        "torqueaudit.apart": "Ended answer_apart limit",
        "torqueaudit.model.act": "See Topic",
        "torqueaudit.model.job.facts": (
            "AtSlot Check CheckMethod Concession Fact Input Logged Loosening MarkSeen MarkState Measured Outcome "
            "PartFitted Release Slot StepDone Strike Tightening"
        ),
        "torqueaudit.model.job.noted": "Noted",
        "torqueaudit.model.job.record": "Current FastenerState Job JobRecord JobState current_of",
        "torqueaudit.model.job.road": (
            "HandOver Recheck RecheckAnswered RecheckPostponed RecheckReferred RecheckRefused Ride"
        ),
        "torqueaudit.model.job.words": "asked_text fault_text measured_text most_shown_text",
        "torqueaudit.model.judged.around": (
            "Anew Around FollowUp PluginTrouble VehicleEvent VehicleHours VehicleMeasurement VehicleOdometer "
            "VehiclePart"
        ),
        "torqueaudit.model.judged.beyond": (
            "Following is_at_recheck may_turn on_a_job_that_follows turned_since_it_left"
        ),
        "torqueaudit.model.judged.finding": "Finding Remark Weight",
        "torqueaudit.model.judged.next": "Next",
        "torqueaudit.model.judged.subject": "Subject subject_at subject_of",
        "torqueaudit.model.listed": "listed",
        "torqueaudit.model.log.rows": "Cell LogRow LogRows LogSource MOST_ROWS",
        "torqueaudit.model.nearest": "did_you_mean digits_meant",
        "torqueaudit.model.numbers": "MOST_DIGITS MOST_IN read_decimal",
        "torqueaudit.model.procedure.drawing": "Drawing Stroke",
        "torqueaudit.model.procedure.kinds": "Derived InputSpec MeasurementKind Reading Readings",
        "torqueaudit.model.procedure.part_kinds": "PartAttribute PartKind",
        "torqueaudit.model.procedure.procedure": (
            "CASTLE_NUT THREADLOCKER Fastener Fit Measurement Plain Procedure Step Work"
        ),
        "torqueaudit.model.procedure.toml.lines": "Lines",
        "torqueaudit.model.procedure.toml.tables": "ProcedureTable",
        "torqueaudit.model.procedure.toml.values": "Mistake Table",
        "torqueaudit.model.recheck.looks": "fault_elsewhere looks_since",
        "torqueaudit.model.recheck.state": "WAITING RecheckState",
        "torqueaudit.model.recheck.reminders": "ReminderKind",
        "torqueaudit.model.register.distance": "GROUPS distance_text length_m",
        "torqueaudit.model.register.people": "Person",
        "torqueaudit.model.register.permits": "ActName",
        "torqueaudit.model.register.settings": "Settings",
        "torqueaudit.model.register.token": "grouped",
        "torqueaudit.model.judged.validity": "holding_of",
        "torqueaudit.model.vehicle.instrument": "Hours Instrument hours_text run_text",
        "torqueaudit.model.vehicle.vehicle": "Holding Vehicle",
        "torqueaudit.model.shown.job": "FastenerView JobView",
        "torqueaudit.model.shown.label": (
            "HEAD_LINE JOB MAIN_LINE PERSON SPARE_LINE WRENCH LabelContent LabelFile LabelKind LabelLine LabelStock "
            "allows_capitals is_own record_address"
        ),
        "torqueaudit.model.shown.night": "Night NightJob NightSection",
        "torqueaudit.model.shown.recheck": "recheck_words stands_words",
        "torqueaudit.model.shown.owner": "NO_BREAK NoDay OwnerView Safety WhenBack call_of day_text far_text when_back",
        "torqueaudit.model.shown.reminder": "CalendarDay Contact NotSent Post Reminder SentBy",
        "torqueaudit.model.shown.section": "Chart ExtraSection",
        "torqueaudit.model.shown.wrench": "WrenchView",
        "torqueaudit.model.torque.correction": "BudgetLine Correction Fitted WrenchUse",
        "torqueaudit.model.torque.decimals": "leading_number told_beside",
        "torqueaudit.model.torque.fitted": "fitted_of fitted_text measure_of same_fitted",
        "torqueaudit.model.torque.specification": "TORQUE_AND_ANGLE Specification within",
        "torqueaudit.model.torque.units": (
            "NEWTON_METRE PRECISION Torque TorqueUnit UnitTable format_number to_decimal"
        ),
        "torqueaudit.model.torque.verdict": (
            "IN IN_NOT_PROVED NOT_JUDGED SIMPLE Verdict guard_factor_in provable verdict_of"
        ),
        "torqueaudit.model.torque.words": (
            "aim_text applied_text at_seat_text digits_apart drag_caution likely_text limits_text share_text "
            "spread_text torque_text"
        ),
        "torqueaudit.model.wrench.doubt": "Doubt Known doubt_of known_of",
        "torqueaudit.model.wrench.kind": "why_not_told",
        "torqueaudit.model.wrench.overload": "Overload",
        "torqueaudit.model.wrench.scale": "number_told scale_read",
        "torqueaudit.model.wrench.words": "cycles_text overload_text percent_text reach_text",
        "torqueaudit.model.wrench.classes": "SETTING",
        "torqueaudit.model.wrench.wrench": "BOTH Wrench",
        "torqueaudit.read.adapter": "read_adapter",
        "torqueaudit.read.number": "read_person_number read_vehicle_number read_wrench_number",
        "torqueaudit.read.toml_text": "read_toml_text",
        "torqueaudit.reports.calendar": "Event calendar_file recheck_event",
        "torqueaudit.signs": "seen",
        "torqueaudit.workshop.wrenches.view": "IN_USE WITHDRAWN",
    }

    def __getattr__(name: str) -> Any:
        """A name of the face that was not asked for before."""
        return asked_of(globals(), _HOMES, name)

    def __dir__() -> list[str]:
        """Every name of the face."""
        return all_names(globals(), _HOMES)
