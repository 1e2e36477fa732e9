"""What a plugin can add. Every hook is called with keyword arguments; implement those you need with `@hookimpl`."""

from typing import TYPE_CHECKING

import pluggy

if TYPE_CHECKING:
    from torqueaudit.model.job.record import Job
    from torqueaudit.model.judged.around import Around
    from torqueaudit.model.judged.finding import Finding, Remark
    from torqueaudit.model.log.rows import LogRows, LogSource
    from torqueaudit.model.procedure.kinds import MeasurementKind
    from torqueaudit.model.procedure.part_kinds import PartKind
    from torqueaudit.model.procedure.procedure import Procedure
    from torqueaudit.model.procedure.toml.tables import ProcedureTable
    from torqueaudit.model.shown.label import LabelContent, LabelFile, LabelKind, LabelStock
    from torqueaudit.model.shown.night import Night, NightJob
    from torqueaudit.model.shown.reminder import Contact, Post, Reminder, SentBy
    from torqueaudit.model.shown.section import ExtraSection
    from torqueaudit.model.torque.correction import Correction, WrenchUse
    from torqueaudit.model.torque.units import TorqueUnit

hookspec = pluggy.HookspecMarker("torqueaudit")
hookimpl = pluggy.HookimplMarker("torqueaudit")

# Of `torqueaudit.plugin` and of these hooks: one more when something is taken away or changes its meaning, and not when
# something is added. A plugin that says for which one it was written (`REQUIRES = 1`) is not loaded by any other.
# See decision 0048.
API_VERSION = 1


@hookspec
def torque_units() -> "list[TorqueUnit] | None":
    """Units a torque may be written in, asked once when the plugins are loaded.

    The core knows N·m alone. A spelling that another unit already has is refused, and the plugin with it. None means
    no units.
    """


@hookspec
def correct_setting(use: "WrenchUse") -> "Correction | None":
    """The factor between shown and applied torque for one use of a wrench, asked at every tightening and setting.

    Return None when nothing of yours is fitted. Raise ValueError with a sentence when what is fitted cannot be used.
    Two corrections of one name are a stop.
    """


@hookspec
def review_job(job: "Job", around: "Around") -> "list[Finding] | None":
    """What a rule says of a job as judged today, asked whenever a job is shown, checked, released or reported.

    Return findings and never raise for bad workshop data: a rule that raises becomes a finding that stops release.
    A rule's name begins with your plugin's, as in `workshop_rules/mark-disturbed`; one that bears another's is a wrong
    answer. A finding says whether it may be conceded and which act answers it. None means nothing to say.
    """


@hookspec
def rules_follow_entries() -> "bool | None":
    """Whether what `review_job` says of a job changes only when something is recorded of it, its vehicle or a wrench.

    Asked each night, and when a server starts. Return True where no day, clock, file or network changes your findings:
    the night then judges a job again only once something was recorded that may matter to it, and everything once a
    week. A server keeps what it has judged until something of it changes, for a minute at most; for it the answer holds
    of `review_procedure`, `record_panels` and `correct_setting` as well. With None, or without this hook, the night
    judges everything on the road each time and a server every page, which takes longer and misses nothing either.
    """


@hookspec
def review_procedure(procedure: "Procedure") -> "list[Remark] | None":
    """What a rule says of a procedure's own values, whatever job follows it.

    Asked when a procedure is entered or read against its source, when the bench asks for a setting, and whenever one of
    its jobs is reviewed: there each remark is a finding that the job's opening caused. A rule that raises stops
    release, as in `review_job`. None means nothing to say.
    """


@hookspec
def measurement_kinds() -> "list[MeasurementKind] | None":
    """Kinds of measurement that a procedure may ask for, asked once when the plugins are loaded.

    A procedure that uses one needs you from then on: without you its jobs stop. A kind that another plugin gives is
    refused, and all of yours with it. What one derives is stored as judged then: it never changes an earlier
    measurement. None means no kinds.
    """


@hookspec
def part_kinds() -> "list[PartKind] | None":
    """Kinds of parts that a procedure may fit, asked once, when a procedure or a part is first looked at.

    A kind says what is written down with a part, and between which words somebody chooses; any other word is refused
    when the part is told, with the choices. It may draw each choice, by strokes as data, which the bench shows beside
    the word. It may say what the procedure states of a part, so that nobody types it. A procedure that uses one needs
    you from then on. A kind that another plugin gives is refused, and all of yours with it. Parts told without a kind
    hold any words: read them with care. What other jobs put on (`around.fitted`) is known by its key, so give a part
    the same one in every procedure. None means no kinds.
    """


@hookspec
def procedure_tables() -> "list[ProcedureTable] | None":
    """The tables `[x.NAME]` of a procedure that are yours to look at, asked whenever a procedure is entered.

    A mistake noted on the table refuses the procedure, with its line. A plugin that raises, here or while it looks,
    refuses it too, by its name. Procedures in the book may have been entered without you: read your table there with
    care. None means no tables.
    """


@hookspec
def label_kinds() -> "list[LabelKind] | None":
    """Kinds of label that can be printed for a job, a wrench or a person, asked when a label is made.

    A kind names the bundled stocks it fits. It is given the job or the wrench as a stranger sees it, for anybody reads
    a label; what is hidden from one is empty. What your plugin alone knows of the job, your own panel tells it
    (`job.panels`). What it says raises ValueError with a sentence where there is nothing to print, or where a stop that
    stands (`job.stops`) makes it wrong. Of a person it is given the number alone. One that is printed when the vehicle
    leaves says so (`at_hand_over`). None means no kinds.
    """


@hookspec
def label_stocks() -> "list[LabelStock] | None":
    """What labels can be printed on: the name of each stock with a sentence that says what it is.

    Asked when labels are to be printed from a page, and when a workshop chooses a stock. Whoever gives a stock makes
    the files for it (`label_file`). None means no stocks.
    """


@hookspec
def label_file(contents: "tuple[LabelContent, ...]", stock: str, ending: str, start: int) -> "LabelFile | None":
    """The file of labels that somebody prints from a page: its bytes, and what is printed otherwise than asked for.

    Read every label back before you answer, as whoever scans it has nothing else to go by. `stock` is a name of
    `label_stocks`, or the path of a file in which the workshop describes its own; `ending` is ".pdf" or ".png";
    `start` is the first label that is still on a used sheet, counted along the rows from 1. The first plugin that
    answers makes the file: return None for a stock or an ending that is none of yours. Raise ValueError with a
    sentence where no label may be handed out.
    """


@hookspec
def report_sections(night: "Night", jobs: "tuple[NightJob, ...]") -> "list[ExtraSection] | None":
    """Sections for the end of a nightly report, asked once when the report is made and everything else is in it.

    `jobs` are those that the report tells of, each as it stood at the end of the day. Plain text only. A plugin that
    raises or answers with anything else is told under "could not audit". None means nothing to add.
    """


@hookspec
def record_panels(job: "Job", around: "Around") -> "list[ExtraSection] | None":
    """Panels for one job's record, asked whenever a job is shown, at the bench and on the phone of whoever scans it.

    Plain text only, and nothing that names a person; a picture is a `Chart`, which the record draws. Say of what a
    later job undid nothing that sounds current. Three short columns of a table fit a phone. A plugin that raises or
    answers with anything else becomes a panel that says so. None means nothing to add.
    """


@hookspec
def send_reminder(reminder: "Reminder", contact: "Contact", post: "Post | None") -> "SentBy | None":
    """Send one reminder to the owner of a vehicle, asked for each reminder that is to be sent now.

    `contact` holds one way, the mail first, and the mobile where nobody has sent it by mail; `post` is the mail server
    that was named, None where none was. The first plugin that answers has sent it: return None where `contact` is not
    your way. Raise `NotSent` with a sentence where it was not taken: then the owner's other way is tried, and all of it
    again later, unless it is `lasting`. Say `untried` where you asked nobody, and `unsure` where it may have been taken
    all the same: then no other way is tried. A program may die at any moment, and then the same reminder comes again
    under the same `id`: give that to whoever carries it further, so that the owner reads it once. Keep no address and
    no number.
    """


@hookspec
def read_log(source: "LogSource") -> "LogRows | None":
    """The rows of a file in which an electronic torque wrench has logged what it showed, asked when one is imported.

    Also those of a list of vehicles or wrenches with which a workshop moves in, in whatever form that is.

    Each row keeps what stands in the file: what the columns mean says the workshop's own mapping, and nothing of a
    row is recorded before somebody has confirmed it. The first plugin that answers has read the file: return None for
    one that is none of yours. Raise ValueError with a sentence where nothing of it can be read; of one row that cannot
    be read say so in its `fault`. Whoever wrote the file may mean harm: read it in a process of its own where its form
    allows much with little (`answer_apart`).
    """
