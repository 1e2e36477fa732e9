"""What each choice of a workshop is called, what it means, what a change of it changes, and its value in words."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, NamedTuple


class SettingWords(NamedTuple):
    """A setting in words. `yes` and `no` are what a choice of two is called, `empty` what nothing chosen means.

    `unit` stands behind a number (":00" of an hour at once behind it), `zero` in the place of the number 0.
    """

    called: str
    means: str
    changes: str
    unit: str = ""
    yes: str = ""
    no: str = ""
    empty: str = ""
    zero: str = ""


# In the order in which they are shown, under the name of what they belong to.
GROUPS: Mapping[str, Mapping[str, SettingWords]] = {
    "The workshop": {
        "telephone": SettingWords(
            "Telephone",
            "The workshop's own number, printed on the owner's tag.",
            "Tags that are printed from now on carry it. Those that hang on motorcycles keep the number they have.",
            empty="not chosen",
        ),
        "mail_address": SettingWords(
            "Mail address",
            "Where owners write to from a page that was published.",
            "Pages that are published from now on name it.",
            empty="not chosen",
        ),
        "zone": SettingWords(
            "Local time",
            "By which clock days begin and end here, named as Europe/Vienna.",
            "Every day and hour is told by it from now on, also of what was recorded before.",
        ),
        "base_address": SettingWords(
            "Address that labels open",
            "What an owner's phone opens, from home too, such as https://yard.example.",
            "Labels that are printed from now on lead there. Labels on motorcycles keep the address they have: keep "
            "that one working, or print them anew.",
        ),
        "workshop_address": SettingWords(
            "Address of these pages",
            "Of bench, office, wrenches and devices, where it is another one than labels open.",
            "Labels of wrenches and tags of people that are printed from now on lead there. A phone or tablet that "
            "opens the pages by the new address has to be let in anew.",
            empty="the one that labels open",
        ),
    },
    "Judging torque": {
        "own_tolerance_percent": SettingWords(
            "Tolerance where the source prints none",
            "How far a torque may be off where its source prints a value alone. Wherever it is used, it says that it "
            "is the workshop's own.",
            "Procedures that are entered from now on take it. Those that are entered keep the tolerance they have. "
            "Stages that were done at another torque are held against it at once.",
            unit="%",
        ),
        "guard_factor": SettingWords(
            "How far inside its limits a torque has to lie",
            "By how many times its own uncertainty a torque has to keep away from its limits, or it is not proved.",
            "Tightenings from now on are judged by it. The larger it is, the more of them are “in, not proved”, which "
            "is a caution and no stop. A procedure may ask for its own.",
            unit="times its uncertainty",
            zero="anywhere inside its limits",
        ),
        "correct_deviation": SettingWords(
            "What a calibration found",
            "Whether what a wrench shows is corrected by the deviation that its calibration states.",
            "What to set a wrench to, and what reached a fastener, are worked out the other way from now on. What was "
            "judged before stays as it is.",
            yes="is corrected",
            no="is left as it is",
        ),
    },
    "Work": {
        "single_handed": SettingWords(
            "Who works here",
            "Whoever works alone has nobody for a second look, and may look again themselves and say why.",
            "Alone: a check by a second person that is missing is a caution, and a look of one's own may take its "
            "place. Several: it is a stop, and nobody checks their own work. Open jobs are judged by it at once.",
            yes="one person alone",
            no="several people",
        ),
        "late_minutes": SettingWords(
            "When an entry is late",
            "How long after the work it may be recorded before it is told as late.",
            "Every job is told by it at once, also those of before.",
            unit="minutes",
        ),
        "untouched_days": SettingWords(
            "When a job is called untouched",
            "How long nothing was recorded of an open job before the night tells of it.",
            "The next night goes by it.",
            unit="days",
        ),
        "check_seconds": SettingWords(
            "Checks that are entered close to each other",
            "Below how many seconds between two checks the sign-off tells of them.",
            "The sign-off of every week is told by it, also of weeks before.",
            unit="seconds",
            zero="are never told of",
        ),
    },
    "Re-checks and reminders": {
        "due_soon_days": SettingWords(
            "When a re-check is due soon",
            "How many days before its day it is told of.",
            "Today and the next night go by it.",
            unit="days before",
            zero="on its day alone",
        ),
        "weekly_reminders": SettingWords(
            "Reminders after a re-check was missed",
            "How often an owner is reminded at most, once a week.",
            "Owners who had as many as that are reminded no more; others until they had.",
            unit="at most",
            zero="none",
        ),
        "quiet_from": SettingWords(
            "No reminders from",
            "The hour of the evening from which nobody is reminded.",
            "Reminders of later hours wait until the morning. The same hour as the end: there is no quiet.",
            unit=":00",
        ),
        "quiet_until": SettingWords(
            "No reminders until",
            "The hour of the morning until which nobody is reminded.",
            "Reminders that wait go out from then on. The same hour as the beginning: there is no quiet.",
            unit=":00",
        ),
        "labels_published": SettingWords(
            "What labels open",
            "Whether labels open the pages of this server, or files that were published on a web space.",
            "Files take nothing from an owner: reminders are then ended by answering the mail, and not on a page.",
            yes="published files",
            no="the pages of this server",
        ),
    },
    "Wrenches": {
        "calibration_months": SettingWords(
            "How long a calibration holds",
            "After how many months a wrench is calibrated again; ISO 6789 says 12.",
            "Calibrations that are entered from now on end by it. Those that are entered keep the day they have.",
            unit="months",
        ),
        "calibration_cycles": SettingWords(
            "How many cycles a calibration holds",
            "After how many uses a wrench is calibrated again; ISO 6789 says 5000.",
            "Every wrench is held against it at once. One that did more may not be used until it is calibrated.",
            unit="cycles",
        ),
        "wrench_due_soon_days": SettingWords(
            "When a calibration is due soon",
            "How many days before it ends the night tells of it.",
            "Today and the next night go by it.",
            unit="days before",
            zero="on its last day alone",
        ),
    },
    "Labels": {
        "label_stock": SettingWords(
            "What labels are printed on",
            "The label paper that the pages begin with; whoever prints may choose another.",
            "The next label is printed on it.",
            empty="not chosen: it is asked for",
        ),
        "label_printer": SettingWords(
            "Printer for labels",
            "The printer, by the name that the machine of this server knows it by.",
            "One tap prints on it from now on. Without a printer a file opens, to be printed from there.",
            empty="no printer: a file opens",
        ),
        "upper_case_labels": SettingWords(
            "Addresses on labels",
            "In capitals the square code has fewer and larger squares. Some cameras do not open such an address.",
            "Labels that are printed from now on are so. Try one with the phones that you know.",
            yes="in capitals",
            no="as they are written",
        ),
    },
    "The record": {
        "pin_at_terminal": SettingWords(
            "PIN at the command line",
            "Whether the command line asks for the PIN of whoever says something there.",
            "Whoever has no PIN says nothing at the command line any more, and a program needs a file with its PIN.",
            yes="is asked for",
            no="is not asked for",
        ),
        "backup_days": SettingWords(
            "When a backup is missing",
            "After how many days without a backup the night tells it.",
            "Today and the next night go by it.",
            unit="days",
            zero="is never told",
        ),
        "disclosure_days": SettingWords(
            "Who was shown what is known of whom",
            "How long it is kept who was shown a plate, a name or a contact.",
            "What is older than that is erased for good.",
            unit="days",
        ),
    },
    "Plugins": {
        "expected_plugins": SettingWords(
            "Plugins that have to be there",
            "While one of them is absent, or broken, nothing is released.",
            "Every open job is judged by it at once.",
            empty="the workshop's own rules alone",
        ),
        "blocked_plugins": SettingWords(
            "Plugins that are not loaded",
            "What such a plugin adds is not there: its rules judge nothing, and its labels and commands are gone.",
            "It counts from the next start of the server on, and for every command from now on.",
            empty="every plugin is loaded",
        ),
    },
}
WORDS: Mapping[str, SettingWords] = {name: words for group in GROUPS.values() for name, words in group.items()}


def value_text(name: str, value: Any) -> str:
    """The value of a setting in words: "720 minutes", "several people", "not chosen"."""
    words = WORDS.get(name)
    if isinstance(value, bool):
        yes, no = (words.yes, words.no) if words else ("yes", "no")
        return yes if value else no
    if isinstance(value, tuple | list):
        return ", ".join(value) or (words.empty if words else "none")
    if isinstance(value, int | Decimal):
        return _number_text(words, f"{value:f}" if isinstance(value, Decimal) else str(value))
    return str(value) or (words.empty if words else "not chosen")


def _number_text(words: SettingWords | None, number: str) -> str:
    if words is None:
        return number
    if words.zero and not number.strip("0."):
        return words.zero
    return f"{number}{'' if words.unit.startswith(':') else ' '}{words.unit}".rstrip()
