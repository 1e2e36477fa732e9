"""What every act carries, and what is raised when nothing may be recorded."""

from collections.abc import Mapping
from datetime import datetime
from enum import StrEnum
from typing import Any, NamedTuple


class Topic(StrEnum):
    """What a sentence refers to; the value ends the sentence in plain words, for a door that has none of its own."""

    JOBS = "; look at the list of jobs"
    VEHICLES = "; look at the list of vehicles"
    WRENCHES = "; look at the list of wrenches"
    PROCEDURES = "; look at the list of procedures"
    DEVICES = "; look at the list of devices"
    PROGRAMS = "; look at the list of programs"
    PEOPLE = "; look at the list of people"
    PLUGINS_INSTALLED = "; look which plugins are installed"
    PLUGINS_LOADED = "; look at the list of plugins"
    STOPS_OF_JOB = "; look at the job"
    ENTRIES_OF_JOB = "; look at the numbers on the job"
    ENTRIES_OF_WRENCH = "; look at the numbers on the wrench"
    LEDGER = "; look at the ledger"
    STRIKING = "; strike it, and say why"
    HOUR_OF_LOOK = "; tell its hour"
    WITHDRAWING_A_WRENCH = "; withdraw the wrench instead"
    OVERLOADED_WRENCH = ": put it aside."
    SETTING = " Ask what to set."
    SUPERVISOR = "; name that supervisor"
    NEW_SUPERVISOR = "; a foreman names another supervisor first"
    ANOTHER_FOREMAN = "; make somebody else foreman first"
    FAULT = " with a remark"
    NOT_APPLICABLE = "; say why it is not applicable here"
    DRAG = ", and tell it as the drag"
    CONDITION = "; if it was taken there, say so as its condition"
    ARRIVAL = "; if it is here again, say so first"
    SURE = "; if it is so, say that you are sure"
    GONE_WITH_STOPS = "; if it is gone all the same, say that you are sure"
    RECHECK_DAY = "; say by which day it is to come back"
    REPLACED = "; if its instrument was replaced, say so with what both showed"
    EXCHANGED = "; if the instrument was replaced, say so first, and if it is so all the same, that you are sure"
    VEHICLE_HAS = "; if not, put that one right first"
    AGAIN = " If it was done again, say so."
    ADAPTER = ", or that none was on the wrench"
    FOLLOW_UP = ", opened for this alone."
    SECOND = "; if this is another one, say so"
    WITH_STOPS = "; if it leaves with them all the same, say so and why"
    CAPITALS = "; choose labels without capitals, or an address whose path is in capitals or that has none"
    ADDRESS = "; choose the address that labels open"
    TELEPHONE = "; choose the workshop's telephone"
    CONTACT = "; ask the owner for another address"
    PUBLISHED = "; say that what labels open is published"
    MAIL = "; choose the workshop's mail address"
    KIND_OF_LABEL = "; print the kind of label that is made for it"
    STOCKS = "; choose a stock that there is"
    NEW_BOOK = "; make one, or give the right file."
    FILE_OF_BOOK = "; give the file of a book."
    SHORTER = ", or say that what it has not is lost, and why."
    TOLD_UNREAD = ": give the newest head that is on paper, or say that what the backup has not is lost, and why."
    SEALING = "; the next night seals it"
    NIGHTS = " Look why, and audit them."
    BACKUP = " Make one, and have one made each day."
    PIN = " Set one."
    LOCKED = ", and unlock it."
    WITHDRAWING_A_DEVICE = "."
    UNREAD = "; strike it, and say again what it said."
    DAMAGE = "; keep it as it is, and go on from the newest backup, or from what is sound in it."
    VERIFYING = ", and verify its ledger today."
    MOVED = "; if this is said again, verify the ledger, for the book may be damaged."


class See(NamedTuple):
    """What a sentence refers to, and which one of them: a job's or a wrench's number, or words to be told.

    Of a job that is to follow, `only` are the keys of the fasteners that it is of alone.
    """

    topic: Topic
    of: str = ""
    only: tuple[str, ...] = ()


def id_within(form: str, number: int) -> str:
    """The id of what a form tells as its `number`th act, from 1: "a7", "a7.2"; "" where the form has none."""
    return f"{form}.{number}" if form and number > 1 else form


def form_of(act: str) -> str:
    """The id of the form that told an act: "a7" of "a7.2", and of "a7" itself."""
    form, _, number = act.rpartition(".")
    return form if form and number.isdecimal() else act


class Refused(Exception):  # it reads as what happened, and is no fault of the program
    """Nothing was recorded; `says` is one sentence that says why, and `see` what it refers to."""

    def __init__(self, says: str, see: See | None = None) -> None:
        super().__init__(says, see)
        self.says = says
        self.see = see

    def __str__(self) -> str:
        """The sentence in plain words."""
        return plainly(self.says, self.see)


class Sentence(NamedTuple):
    """One sentence, and what it refers to; each door words the reference."""

    says: str
    see: See | None = None

    def __str__(self) -> str:
        """The sentence in plain words."""
        return plainly(self.says, self.see)


def plainly(says: str, see: See | None) -> str:
    """A sentence with what it refers to in plain words."""
    return f"{says}{see.topic.value if see else ''}"


class Came(NamedTuple):
    """By which door something was said, and with what proof of who said it; "" where that is not known.

    `door` is page, terminal, card, night, import or program; `proof` is PIN, invitation where a device was let in by
    one, label or mail where nobody is known and the link of one alone was there, key of a program; `device` is its
    number, such as D-3.
    """

    door: str = ""
    proof: str = ""
    device: str = ""

    @property
    def told(self) -> dict[str, str]:
        """What is known of it, as an entry holds it."""
        return {key: value for key, value in self._asdict().items() if value}

    @property
    def says(self) -> str:
        """It in a few words, such as "page, PIN, D-3"; "" where nothing is known."""
        return ", ".join(self.told.values())


UNSAID = Came()
BY_LABEL = Came("page", "label")  # whoever has a label's link, who may be anybody
BY_MAIL = Came("page", "mail")  # whoever has the link of a mail


def came_of(judged: Mapping[str, Any]) -> Came:
    """By which door an entry came and with what proof, from what was judged when it was recorded."""
    return Came(**{key: judged.get(key, "") for key in Came._fields})


class Say(NamedTuple):
    """Who says something, when it happened, and the id they give it (a new one where empty)."""

    by: str
    at: datetime | None = None
    minutes_ago: int = 0
    id: str = ""
    here: bool = False  # the vehicle is here again, although nobody said that it arrived
    again: bool = False  # it was done again, although the same was told within minutes
    sure: bool = False  # of an odometer that does not fit those that were read before
    came: Came = UNSAID
