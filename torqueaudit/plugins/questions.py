"""What plugins are asked: one method for each hook, which holds every answer against what the hook may give.

Each method answers plugin by plugin, in the order of their names, with what can be used and what is wrong apart.
"""

from collections.abc import Callable, Collection, Iterable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Any, Self, TypeVar

from torqueaudit.installed import Offered, installed
from torqueaudit.model.judged.around import Around, PluginTrouble
from torqueaudit.model.judged.finding import Finding, Remark
from torqueaudit.model.judged.rule_name import is_rule_of
from torqueaudit.model.torque.correction import Correction, WrenchUse
from torqueaudit.model.torque.units import NEWTON_METRE, TorqueUnit, UnitTable
from torqueaudit.plugins.answers import Answer, WrongAnswer, list_of
from torqueaudit.plugins.manager import Manager
from torqueaudit.plugins.sections import sections_of

if TYPE_CHECKING:
    from torqueaudit.model.job.record import Job
    from torqueaudit.model.log.rows import LogRows, LogSource
    from torqueaudit.model.procedure.kinds import OwnedKind
    from torqueaudit.model.procedure.part_kinds import OwnedPartKind
    from torqueaudit.model.procedure.procedure import Procedure
    from torqueaudit.model.procedure.toml.tables import ProcedureTable
    from torqueaudit.model.shown.label import LabelContent, LabelFile, LabelKind, LabelStock
    from torqueaudit.model.shown.night import Night, NightJob
    from torqueaudit.model.shown.reminder import Contact, Post, Reminder, SentBy
    from torqueaudit.model.shown.section import ExtraSection

GROUP = "torqueaudit"
NO_UNITS = "it gave something that is not a list of units"
NO_KINDS = "it gave something that is not a list of kinds"
LONGEST_WAY = 20  # letters
ASKED_LATE = frozenset({"measurement_kinds", "part_kinds"})

T = TypeVar("T")
Judged = TypeVar("Judged", Finding, Remark)


class Plugins(Manager):
    """The plugins of one run: asked hook by hook, each plugin alone."""

    def __init__(self, entries: Iterable[Offered], blocked: Iterable[str] = ()) -> None:
        super().__init__(entries, blocked)
        self.units = UnitTable([NEWTON_METRE])
        self._take(self._lists("torque_units", TorqueUnit, NO_UNITS), "units", self._add_units)

    @cached_property
    def kinds(self) -> "dict[str, OwnedKind]":
        """Every kind of measurement by name; not asked for before it is needed, as few commands measure anything."""
        if not any("measurement_kinds" in state.hooks for state in self.states.values()):
            return {}  # then nobody needs to know what a kind is
        from torqueaudit.model.procedure.kinds import MeasurementKind, OwnedKind, require_kinds

        table: dict[str, OwnedKind] = {}

        def add(plugin: str, given: list[MeasurementKind]) -> None:
            require_kinds(given, table)
            table.update({kind.name: OwnedKind(plugin, kind) for kind in given})

        self._take(self._lists("measurement_kinds", MeasurementKind, NO_KINDS), "measurement kinds", add)
        return table

    @cached_property
    def part_kinds(self) -> "dict[str, OwnedPartKind]":
        """Every kind of part by name; not asked for before it is needed, as few commands fit a part."""
        if not any("part_kinds" in state.hooks for state in self.states.values()):
            return {}  # then nobody needs to know what a kind is
        from torqueaudit.model.procedure.part_kinds import OwnedPartKind, PartKind, require_part_kinds

        table: dict[str, OwnedPartKind] = {}

        def add(plugin: str, given: list[PartKind]) -> None:
            require_part_kinds(given, table)
            table.update({kind.name: OwnedPartKind(plugin, kind) for kind in given})

        self._take(self._lists("part_kinds", PartKind, NO_KINDS), "part kinds", add)
        return table

    def asked_through(self) -> Self:
        """The same plugins once everything that is asked late has been asked, so that no clash stays unseen."""
        self.kinds, self.part_kinds  # noqa: B018  # asked for what they find wrong
        return self

    def trouble(self, expected: Collection[str] = (), needed: Collection[str] = ()) -> tuple[PluginTrouble, ...]:
        """Every plugin that is known to be broken, and every expected or needed one that is blocked or absent.

        Whether the kinds of a plugin clash is only looked at where one that gives any is `needed`.
        """
        if any(ASKED_LATE.intersection(self.states[name].hooks) for name in needed if name in self.states):
            self.asked_through()
        broken = [PluginTrouble(s.name, s.state) for s in self.states.values() if s.state not in ("loaded", "blocked")]
        for name in sorted({*expected, *needed}):
            if name not in self.states:
                broken.append(PluginTrouble(name, "is expected by this book and not installed"))
            elif self.states[name].state == "blocked":
                broken.append(PluginTrouble(name, "is expected by this book and blocked"))
        return tuple(broken)

    def corrections(self, use: WrenchUse) -> list[Answer[Correction]]:
        """`correct_setting`: the factor between shown and applied torque for one use of a wrench."""
        asked = self.ask("correct_setting", use=use)
        return [list_of(Correction, name, _as_list(answer), str(answer)) for name, answer in asked]

    def findings(self, job: "Job", around: Around) -> list[Answer[Finding]]:
        """`review_job`: what rules say of a job."""
        wrong = "answered with something that is not a list of findings"
        return [_by_own_rules(each) for each in self._lists("review_job", Finding, wrong, job=job, around=around)]

    def rules_follow_entries(self) -> list[Answer[bool]]:
        """`rules_follow_entries`: whether what a plugin's rules say changes only with what is recorded."""
        wrong = "answered with something that is neither yes nor no"
        return [list_of(bool, name, _as_list(answer), wrong) for name, answer in self.ask("rules_follow_entries")]

    def unsteady(self, *hooks: str) -> list[str]:
        """The plugins of one of these hooks that may answer it otherwise although nothing was recorded."""
        steady = {answer.plugin for answer in self.rules_follow_entries() if answer.given == [True]}
        asked = (each.name for each in self.states.values() if not set(hooks).isdisjoint(each.hooks))
        return [name for name in asked if name not in steady]

    def remarks(self, procedure: "Procedure") -> list[Answer[Remark]]:
        """`review_procedure`: what rules say of a procedure's own values."""
        wrong = "answered with something that is not a list of remarks"
        return [_by_own_rules(each) for each in self._lists("review_procedure", Remark, wrong, procedure=procedure)]

    def tables(self) -> "list[Answer[ProcedureTable]]":
        """`procedure_tables`: the tables of a procedure that plugins look at."""
        from torqueaudit.model.procedure.toml.tables import ProcedureTable  # only who enters a procedure asks

        return self._lists("procedure_tables", ProcedureTable, "it gave something that is not a list of tables")

    def label_kinds(self) -> "list[Answer[LabelKind]]":
        """`label_kinds`: the kinds of label that can be printed."""
        from torqueaudit.model.shown.label import LabelKind  # only who prints asks

        return self._lists("label_kinds", LabelKind, "it gave something that is not a list of label kinds")

    def label_stocks(self) -> "list[Answer[LabelStock]]":
        """`label_stocks`: what labels can be printed on."""
        from torqueaudit.model.shown.label import LabelStock  # only who prints asks

        return self._lists("label_stocks", LabelStock, "it gave something that is not a list of label stocks")

    def label_files(
        self, contents: "tuple[LabelContent, ...]", stock: str, ending: str, start: int
    ) -> "Iterator[Answer[LabelFile]]":
        """`label_file`: labels as a file; each plugin is asked only when the one before it made none."""
        from torqueaudit.model.shown.label import LabelFile  # only who prints asks

        wrong = "answered with something that is not a file of labels"
        for name, answer in self.ask("label_file", contents=contents, stock=stock, ending=ending, start=start):
            told = list_of(LabelFile, name, _as_list(answer), wrong)
            yield told if all(map(_is_file, told.given)) else Answer(name, [], WrongAnswer(wrong))

    def reminders_sent(
        self, reminder: "Reminder", contact: "Contact", post: "Post | None"
    ) -> "Iterator[Answer[SentBy]]":
        """`send_reminder`: a reminder handed over; each plugin is asked only when no one before it has sent it."""
        from torqueaudit.model.shown.reminder import SentBy  # only who reminds asks

        wrong = "answered with something that is not the way in one word"
        for name, answer in self.ask("send_reminder", reminder=reminder, contact=contact, post=post):
            told = list_of(SentBy, name, _as_list(answer), wrong)
            yield told if all(_is_way(each.way) for each in told.given) else Answer(name, [], WrongAnswer(wrong))

    def log_rows(self, source: "LogSource") -> "Iterator[Answer[LogRows]]":
        """`read_log`: the rows of a wrench's log; each plugin is asked only when none before it could read it."""
        from torqueaudit.model.log.rows import LogRows, is_log  # only who reads a log asks

        wrong = "answered with something that is no rows of a log"
        for name, answer in self.ask("read_log", source=source):
            told = list_of(LogRows, name, _as_list(answer), wrong)
            yield told if all(map(is_log, told.given)) else Answer(name, [], WrongAnswer(wrong))

    def report_sections(self, night: "Night", jobs: "tuple[NightJob, ...]") -> "list[Answer[ExtraSection]]":
        """`report_sections`: what is added to a nightly report."""
        asked = self.ask("report_sections", night=night, jobs=jobs)
        return [sections_of(name, answer, "report") for name, answer in asked]

    def panels(self, job: "Job", around: Around) -> "list[Answer[ExtraSection]]":
        """`record_panels`: what is added to a job's record."""
        asked = self.ask("record_panels", job=job, around=around)
        return [sections_of(name, answer, "record") for name, answer in asked]

    def _lists(self, hook: str, kind: type[T], wrong: str, **arguments: Any) -> list[Answer[T]]:
        return [list_of(kind, name, answer, wrong) for name, answer in self.ask(hook, **arguments)]

    def _take(self, answers: Iterable[Answer[T]], what: str, add: Callable[[str, list[T]], None]) -> None:
        """Add what each plugin gives; one that gives anything else, or that `add` refuses, is refused."""
        for plugin, given, fault in answers:
            try:
                if fault:
                    raise fault  # noqa: TRY301  # told in the same words as a clash
                add(plugin, given)
            except Exception as error:  # what cannot be read must not take the others with it
                self.refuse(plugin, f"its {what} were refused: {error}")

    def _add_units(self, plugin: str, given: list[TorqueUnit]) -> None:
        del plugin
        self.units = UnitTable([*self.units.units, *given])


def _by_own_rules(answer: Answer[Judged]) -> Answer[Judged]:
    """What a plugin judged, and nothing where a rule of it bears another's name."""
    foreign = next((each.rule for each in answer.given if not is_rule_of(answer.plugin, each.rule)), None)
    if foreign is None:
        return answer
    return Answer(answer.plugin, [], WrongAnswer(f"answered by a rule “{foreign}”, which is not one of its own"))


def _is_file(given: Any) -> bool:
    """Whether a file holds bytes, and its sentences are text: a plugin's author may not check types."""
    told = given.says if isinstance(given.says, tuple | list) else (None,)
    return isinstance(given.data, bytes) and bool(given.data) and all(isinstance(each, str) for each in told)


def _is_way(way: Any) -> bool:
    """Whether a plugin names its way in one word, as an entry keeps it for ever."""
    return isinstance(way, str) and way.isascii() and way.isalpha() and len(way) <= LONGEST_WAY


def _as_list(answer: Any) -> Any:
    """The one thing that a plugin answers, as the list of it."""
    return answer if isinstance(answer, Exception) else [answer]


def load_plugins(blocked: Iterable[str] = ()) -> Plugins:
    """The installed plugins, by name in sorted order."""
    return Plugins(installed(GROUP), blocked)
