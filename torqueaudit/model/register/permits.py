"""Who may do what: one row for each act, with the roles that may do it.

A row says who may do such a thing at all. What else has to be so (nobody checks their own work, no release while a stop
stands) is asked by the act itself. See decision 0046.
"""

from collections.abc import Mapping
from enum import StrEnum

from torqueaudit.model.register.people import Person

MECHANIC, TRAINEE, FOREMAN = ROLES = ("mechanic", "trainee", "foreman")
OWNER, IMPORT, SETUP, NIGHT = "owner", "import", "setup", "night"
NOT_A_PERSON = frozenset({OWNER, IMPORT, SETUP, NIGHT})  # each speaks without a number, and is a role of its own


class ActName(StrEnum):
    """Every act by the name that its digest knows it by, so that a name never changes."""

    SETTLE = "settle"
    ENTER_PERSON = "enter person"
    CHANGE_PERSON = "change person"
    END_PERSON = "end person"
    ENTER_VEHICLE = "enter vehicle"
    CHANGE_VEHICLE = "change vehicle"
    ENTER_WRENCH = "enter wrench"
    CHANGE_WRENCH = "change wrench"
    ENTER_PROCEDURE = "enter procedure"
    READ_PROCEDURE = "read procedure"
    MOVE_IN = "move in"
    MOVE_VEHICLE_IN = "move vehicle in"  # a part of it: each row speaks for the import itself
    MOVE_WRENCH_IN = "move wrench in"  # another
    OPEN = "open"
    TIGHTEN = "tighten"
    READ_LOG = "read log"
    ENTER_LOGGED = "enter logged"  # a part of READ_LOG: each row speaks for the import itself
    CONFIRM_LOGGED = "confirm logged"
    LOOSEN = "loosen"
    MARK = "mark"
    CHECK = "check"
    MEASURE = "measure"
    STEP = "step"
    FIT = "fit"
    PHOTOGRAPH = "photograph"
    ERASE_PHOTO = "erase photo"
    STRIKE = "strike"
    UNDO = "undo"
    UNDO_ANOTHERS = "undo another's"  # a part of UNDO
    STRIKE_RELIED_ON = "strike relied on"  # a part of STRIKE: a release, a concession, or anything after the release
    STRIKE_UNREAD = "strike unread"
    CONCEDE = "concede"
    RELEASE = "release"
    HAND_OVER = "hand over"
    NAME_RECHECK_DAY = "name re-check day"  # a part of HAND_OVER: where its plan names nothing that is counted
    RIDE = "ride"
    ASK_DAY = "ask day"
    RECHECK = "recheck"
    POSTPONE_RECHECK = "postpone recheck"
    REFUSE_RECHECK = "refuse recheck"
    REFER_RECHECK = "refer recheck"
    ANSWER_RECHECK = "answer recheck"
    REPORT_LOOSENED = "report loosened"
    ARRIVE = "arrive"
    GONE = "gone"
    JUDGE_IN_FULL = "judge in full"
    EXCHANGE_INSTRUMENT = "exchange instrument"
    STRIKE_OF_VEHICLE = "strike of vehicle"
    STRIKE_ANOTHERS_REPORT = "strike another's report"  # a part of it: what somebody else reported
    CALIBRATE = "calibrated.1"
    CHECK_WRENCH = "interim_checked.1"
    MISHANDLE = "mishandled.1"
    WITHDRAW_WRENCH = "withdrawn.1"
    ESTIMATE_USE = "use_estimated.1"
    TIME_LOOK = "time look"
    STRIKE_OF_WRENCH = "strike of wrench"
    ERASE_WORDS = "erase words"
    NAME_KEY = "name key"
    ADMIT_DEVICE = "admit device"
    WITHDRAW_DEVICE = "withdraw device"
    LET_PROGRAM_IN = "let program in"
    WITHDRAW_PROGRAM = "withdraw program"
    SET_PIN = "set PIN"
    SET_ANOTHERS_PIN = "set another's PIN"  # a part of SET_PIN, and one's own where nothing proves who says it
    UNLOCK = "unlock"
    AGREE_CONTACT = "agree contact"  # the owner's yes to reminders
    END_CONTACT = "end contact"
    REMIND = "remind"
    RESTORE = "restore"  # that entries are lost which a backup has not
    FORGET = "forget"  # what is known of a vehicle's owner; no entry tells it either
    BE_SHOWN = "be shown"  # what is known of somebody; it is kept beside the ledger, and no entry tells it


_RECORDERS = (MECHANIC, TRAINEE, FOREMAN)
_ANYBODY = (*ROLES, OWNER, IMPORT, SETUP)

# The roles stand in the order in which a refusal names them.
PERMITS: Mapping[ActName, tuple[str, ...]] = {
    ActName.SETTLE: (FOREMAN, SETUP),
    ActName.ENTER_PERSON: (FOREMAN, SETUP),
    ActName.CHANGE_PERSON: (FOREMAN, SETUP),
    ActName.END_PERSON: (FOREMAN, SETUP),
    ActName.ENTER_VEHICLE: _ANYBODY,
    ActName.CHANGE_VEHICLE: (MECHANIC, FOREMAN),
    ActName.ENTER_WRENCH: (FOREMAN, SETUP),
    ActName.CHANGE_WRENCH: (FOREMAN,),
    ActName.ENTER_PROCEDURE: (FOREMAN, MECHANIC),
    ActName.READ_PROCEDURE: (MECHANIC, FOREMAN),
    ActName.MOVE_IN: (FOREMAN, SETUP),
    ActName.MOVE_VEHICLE_IN: (IMPORT,),
    ActName.MOVE_WRENCH_IN: (IMPORT,),
    ActName.OPEN: _RECORDERS,
    ActName.TIGHTEN: _RECORDERS,
    ActName.READ_LOG: (MECHANIC, FOREMAN),
    ActName.ENTER_LOGGED: (IMPORT,),
    ActName.CONFIRM_LOGGED: (MECHANIC, FOREMAN),
    ActName.LOOSEN: _RECORDERS,
    ActName.MARK: (*_RECORDERS, OWNER),
    ActName.CHECK: (MECHANIC, FOREMAN),
    ActName.MEASURE: _RECORDERS,
    ActName.STEP: _RECORDERS,
    ActName.FIT: _RECORDERS,
    ActName.PHOTOGRAPH: _RECORDERS,
    ActName.ERASE_PHOTO: (FOREMAN,),
    ActName.STRIKE: _RECORDERS,
    ActName.STRIKE_RELIED_ON: (FOREMAN,),
    ActName.STRIKE_UNREAD: (FOREMAN,),
    ActName.UNDO: _RECORDERS,
    ActName.UNDO_ANOTHERS: (FOREMAN,),
    ActName.CONCEDE: (FOREMAN,),
    ActName.RELEASE: (FOREMAN,),
    ActName.HAND_OVER: (MECHANIC, FOREMAN),
    ActName.NAME_RECHECK_DAY: (FOREMAN,),
    ActName.RIDE: _ANYBODY,
    ActName.ASK_DAY: (OWNER, MECHANIC, FOREMAN),
    ActName.RECHECK: (MECHANIC, FOREMAN),
    ActName.POSTPONE_RECHECK: (FOREMAN,),
    ActName.REFUSE_RECHECK: (MECHANIC, FOREMAN),
    ActName.REFER_RECHECK: (MECHANIC, FOREMAN),
    ActName.ANSWER_RECHECK: (MECHANIC, FOREMAN),
    ActName.REPORT_LOOSENED: _ANYBODY,
    ActName.ARRIVE: _RECORDERS,
    ActName.GONE: (FOREMAN,),
    ActName.JUDGE_IN_FULL: (NIGHT,),
    ActName.EXCHANGE_INSTRUMENT: (MECHANIC, FOREMAN),
    ActName.STRIKE_OF_VEHICLE: _ANYBODY,
    ActName.STRIKE_ANOTHERS_REPORT: (FOREMAN,),
    ActName.CALIBRATE: (FOREMAN,),
    ActName.CHECK_WRENCH: (FOREMAN, MECHANIC),
    ActName.MISHANDLE: _RECORDERS,
    ActName.WITHDRAW_WRENCH: (FOREMAN, MECHANIC),
    ActName.ESTIMATE_USE: (FOREMAN,),
    ActName.TIME_LOOK: (FOREMAN,),
    ActName.STRIKE_OF_WRENCH: (FOREMAN,),
    ActName.ERASE_WORDS: (FOREMAN,),
    ActName.NAME_KEY: (FOREMAN, NIGHT),
    ActName.ADMIT_DEVICE: (FOREMAN, SETUP),
    ActName.WITHDRAW_DEVICE: (FOREMAN, SETUP),
    ActName.LET_PROGRAM_IN: (FOREMAN, SETUP),
    ActName.WITHDRAW_PROGRAM: (FOREMAN, SETUP),
    ActName.SET_PIN: (*ROLES, SETUP),
    ActName.SET_ANOTHERS_PIN: (FOREMAN, SETUP),
    ActName.UNLOCK: (FOREMAN, SETUP),
    ActName.AGREE_CONTACT: _RECORDERS,
    ActName.END_CONTACT: (*_RECORDERS, OWNER),
    ActName.REMIND: (NIGHT,),
    ActName.RESTORE: (FOREMAN, SETUP),
    ActName.FORGET: (FOREMAN, SETUP),
    ActName.BE_SHOWN: (*_RECORDERS, SETUP),
}


def acts_of(person: Person) -> frozenset[ActName]:
    """What somebody may do now, by their roles; nothing for who has left."""
    if person.left:
        return frozenset()
    return frozenset(act for act, roles in PERMITS.items() if not set(roles).isdisjoint(person.roles))
