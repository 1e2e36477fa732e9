"""What a plugin's command needs: the book, who speaks, questions and acts, and how a command answers.

A command is an entry point of the group `torqueaudit.commands` and a click command, imported only when it runs. The
first line of its module's docstring, behind the colon, is what `torqueaudit --help` says of it.

- the book that was named: `workshop_here` opens it, `book_place` says where it lies; `new_workshop` makes one
- who speaks: the options of `who_says`, handed over as `Who`, read by `say_of` into `Say`, with the door it `Came` by;
  `Refused` is raised where nothing may be recorded
- questions: `jobs`, `show_job`, `show_wrench`, `bench_setting`, `night_of`, `record_of`, …
- acts, each with `Say`: `open_job`, `tighten`, `measure`, `add_wrench`, `calibrate`, …; `play` plays a job card;
  `remind` sends what is due, to owners who said yes by `agree_contact`
- answers: `answer`, `print_json`, `json_option`
- without a book: `unit_table`
- files that are whole and stay, once they are said to be written: `write_all`, `make_folder`
- what labels say by `labels_of`, of the kinds in `label_kinds`; a PDF to a printer by `spool`
- what a refusal or a sentence refers to as the command to type: `refusal`, `typed`
- pages as tagged PDF by `set_page`; a QR symbol as SVG by `text_symbol` or `symbol_drawing`; the labels in a
  photo by `read_photo`; a day as it was typed by `read_day`
- what an owner is told of a re-check now: `reminder_of_job`
"""

from typing import TYPE_CHECKING, Any

from torqueaudit.plugin.late import all_names, asked_of

if TYPE_CHECKING:
    from torqueaudit.book.flushing import make_folder as make_folder
    from torqueaudit.book.flushing import write_all as write_all
    from torqueaudit.cards.card import Clock as Clock
    from torqueaudit.cards.card import play as play
    from torqueaudit.cli.command import refusal as refusal
    from torqueaudit.cli.command import typed as typed
    from torqueaudit.cli.common import Who as Who
    from torqueaudit.cli.common import answer as answer
    from torqueaudit.cli.common import book_place as book_place
    from torqueaudit.cli.common import json_option as json_option
    from torqueaudit.cli.common import note_made as note_made
    from torqueaudit.cli.common import print_json as print_json
    from torqueaudit.cli.common import say_of as say_of
    from torqueaudit.cli.common import who_says as who_says
    from torqueaudit.cli.common import why_option as why_option
    from torqueaudit.cli.common import workshop_here as workshop_here
    from torqueaudit.model.act import Came as Came
    from torqueaudit.model.act import Refused as Refused
    from torqueaudit.model.act import Say as Say
    from torqueaudit.model.job.acts import Measure as Measure
    from torqueaudit.model.job.acts import Opening as Opening
    from torqueaudit.model.job.acts import Part as Part
    from torqueaudit.model.job.acts import Tighten as Tighten
    from torqueaudit.model.shown.access import seen_by as seen_by
    from torqueaudit.model.shown.bench import BenchAnswer as BenchAnswer
    from torqueaudit.model.shown.bench import ChoiceView as ChoiceView
    from torqueaudit.model.shown.bench import StageSetting as StageSetting
    from torqueaudit.model.shown.passes import JudgedView as JudgedView
    from torqueaudit.model.torque.units import UnitTable
    from torqueaudit.model.wrench.acts import Calibrate as Calibrate
    from torqueaudit.model.wrench.acts import NewWrench as NewWrench
    from torqueaudit.photo import MOST_BYTES as MOST_BYTES
    from torqueaudit.photo import NotRead as NotRead
    from torqueaudit.photo import Seen as Seen
    from torqueaudit.photo import another as another
    from torqueaudit.photo import read_photo as read_photo
    from torqueaudit.read.day import read_day as read_day
    from torqueaudit.reports.symbol import symbol_drawing as symbol_drawing
    from torqueaudit.reports.symbol import text_symbol as text_symbol
    from torqueaudit.spooler import NotPrinted as NotPrinted
    from torqueaudit.spooler import spool as spool
    from torqueaudit.typesetting import Handed as Handed
    from torqueaudit.typesetting import NotSet as NotSet
    from torqueaudit.typesetting import set_page as set_page
    from torqueaudit.workshop.bench.answer import bench_setting as bench_setting
    from torqueaudit.workshop.door.lists import jobs as jobs
    from torqueaudit.workshop.door.workshop import Workshop as Workshop
    from torqueaudit.workshop.jobs.checks import check as check
    from torqueaudit.workshop.jobs.fasteners import loosen as loosen
    from torqueaudit.workshop.jobs.fasteners import see_mark as see_mark
    from torqueaudit.workshop.jobs.fasteners import tighten as tighten
    from torqueaudit.workshop.jobs.job import open_job as open_job
    from torqueaudit.workshop.jobs.measurements import measure as measure
    from torqueaudit.workshop.jobs.steps_and_parts import do_step as do_step
    from torqueaudit.workshop.jobs.steps_and_parts import fit as fit
    from torqueaudit.workshop.judged.job_view import show_job as show_job
    from torqueaudit.workshop.night.night import night_of as night_of
    from torqueaudit.workshop.opening import new_workshop as new_workshop
    from torqueaudit.workshop.opening import open_workshop as open_workshop
    from torqueaudit.workshop.recheck.reminding import reminder_of_job as reminder_of_job
    from torqueaudit.workshop.recheck.sending import remind as remind
    from torqueaudit.workshop.register.labels import record_of as record_of
    from torqueaudit.workshop.register.labels import replaced_by as replaced_by
    from torqueaudit.workshop.register.people import add_person as add_person
    from torqueaudit.workshop.register.printing import NoLabel as NoLabel
    from torqueaudit.workshop.register.printing import label_kinds as label_kinds
    from torqueaudit.workshop.register.printing import labels_of as labels_of
    from torqueaudit.workshop.register.procedures import enter_procedure as enter_procedure
    from torqueaudit.workshop.register.procedures import read_against_source as read_against_source
    from torqueaudit.workshop.vehicles.contact import agree_contact as agree_contact
    from torqueaudit.workshop.vehicles.vehicle import add_vehicle as add_vehicle
    from torqueaudit.workshop.wrenches.calibrations import calibrate as calibrate
    from torqueaudit.workshop.wrenches.view import show_wrench as show_wrench
    from torqueaudit.workshop.wrenches.wrench import add_wrench as add_wrench
else:
    _HOMES = {
        "torqueaudit.book.flushing": "make_folder write_all",
        "torqueaudit.cards.card": "Clock play",
        "torqueaudit.cli.command": "refusal typed",
        "torqueaudit.cli.common": "Who answer book_place json_option note_made print_json say_of who_says why_option "
        "workshop_here",
        "torqueaudit.model.act": "Came Refused Say",
        "torqueaudit.model.job.acts": "Measure Opening Part Tighten",
        "torqueaudit.model.shown.access": "seen_by",
        "torqueaudit.model.shown.bench": "BenchAnswer ChoiceView StageSetting",
        "torqueaudit.model.shown.passes": "JudgedView",
        "torqueaudit.model.wrench.acts": "Calibrate NewWrench",
        "torqueaudit.photo": "MOST_BYTES NotRead Seen another read_photo",
        "torqueaudit.read.day": "read_day",
        "torqueaudit.reports.symbol": "symbol_drawing text_symbol",
        "torqueaudit.spooler": "NotPrinted spool",
        "torqueaudit.typesetting": "Handed NotSet set_page",
        "torqueaudit.workshop.bench.answer": "bench_setting",
        "torqueaudit.workshop.door.lists": "jobs",
        "torqueaudit.workshop.door.workshop": "Workshop",
        "torqueaudit.workshop.jobs.checks": "check",
        "torqueaudit.workshop.jobs.fasteners": "loosen see_mark tighten",
        "torqueaudit.workshop.jobs.job": "open_job",
        "torqueaudit.workshop.jobs.measurements": "measure",
        "torqueaudit.workshop.jobs.steps_and_parts": "do_step fit",
        "torqueaudit.workshop.judged.job_view": "show_job",
        "torqueaudit.workshop.night.night": "night_of",
        "torqueaudit.workshop.opening": "new_workshop open_workshop",
        "torqueaudit.workshop.recheck.reminding": "reminder_of_job",
        "torqueaudit.workshop.recheck.sending": "remind",
        "torqueaudit.workshop.register.labels": "record_of replaced_by",
        "torqueaudit.workshop.register.people": "add_person",
        "torqueaudit.workshop.register.printing": "NoLabel label_kinds labels_of",
        "torqueaudit.workshop.register.procedures": "enter_procedure read_against_source",
        "torqueaudit.workshop.vehicles.contact": "agree_contact",
        "torqueaudit.workshop.vehicles.vehicle": "add_vehicle",
        "torqueaudit.workshop.wrenches.calibrations": "calibrate",
        "torqueaudit.workshop.wrenches.view": "show_wrench",
        "torqueaudit.workshop.wrenches.wrench": "add_wrench",
    }

    def __getattr__(name: str) -> Any:
        """A name of the face that was not asked for before."""
        return asked_of(globals(), _HOMES, name)

    def __dir__() -> list[str]:
        """Every name of the face."""
        return all_names(globals(), _HOMES)


def unit_table() -> "UnitTable":
    """N·m and the units of every installed plugin, for a calculator that needs no book."""
    from torqueaudit.plugins import load_plugins

    return load_plugins().units
