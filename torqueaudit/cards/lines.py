"""The lines of a job card, each kind as a pattern; what its words become is read in `read`, as for every door."""

import re
from collections.abc import Iterable

from torqueaudit.model.job.facts import CheckMethod, MarkState, Outcome, Slot
from torqueaudit.read.words import ANSWERS, METHODS, OUTCOMES, SAID, SLOTS


def _any(words: Iterable[str], short: Iterable[str] = ()) -> str:
    """Any of the words, in any case and with any comma or hyphen between their parts."""
    return f"(?i:{'|'.join('[ ,/-]*'.join(re.findall('[a-z]+', each)) for each in (*words, *short))})"


_DAY = "[0-9]{4}-[0-9]{2}-[0-9]{2}"
_KEY = r"(?P<key>[a-z][a-z0-9-]*)"
_KEYS = r"[a-z][a-z0-9-]*(?: and [a-z][a-z0-9-]*)*"
_PERSON = r"[Pp][ -]?[0-9]+"
_VEHICLE = r"(?P<vehicle>[Vv][ -]?[0-9]+)"
_WRENCH = r"(?P<wrench>[Ww][ -]?[0-9]+)"
_READ = r"[0-9]+ (?:km|mi)|[0-9.]+ h"
_ODOMETER = rf"(?P<odometer>{_READ})(?P<sure>, sure)?"
_WHY = r"(?:: (?P<why>.+))?"
_DRAG = r"(?: drag (?P<drag>(?:\S+ … )?\S+ \S+)(?: read with (?P<by_drag>[Ww][ -]?[0-9]+))?)?"
_AGAIN = r"(?P<again>, again)?"
_OUTCOME = _any(Outcome, OUTCOMES)

LINE = re.compile(rf"(?P<when>{_DAY} [0-9]?[0-9]:[0-9]{{2}}) (?:job (?P<job>[0-9]+) (?!opened))?(?P<act>.+)")
TOLD = re.compile(rf"(?P<words>.+) by (?P<by>{_PERSON}|(?i:owner|import|setup))")
INPUT = re.compile(r"(?P<name>[a-z][a-z ]*?) (?P<reading>[^\sa-z].*)")

OPENED = re.compile(
    rf"job (?P<job>[0-9]+) opened (?P<procedure>[a-z0-9-]+) on {_VEHICLE}(?: at {_ODOMETER})?"
    rf"(?: after job (?P<follows>[0-9]+))?(?: only (?P<only>{_KEYS}))?"
)
RELEASED = re.compile("released")
HANDED_OVER = re.compile(
    rf"handed over(?: at {_ODOMETER})?(?: re-check by (?P<until>{_DAY}))?(?: with stops: (?P<why>.+))?"
)
ARRIVED = re.compile(rf"{_VEHICLE} arrived(?: at {_ODOMETER})?")
RIDDEN = re.compile(rf"ridden to {_ODOMETER}{_WHY}")
RECHECKED = re.compile(rf"re-checked(?: at {_ODOMETER})?{_WHY}")
POSTPONED = re.compile(rf"re-check postponed until (?:(?P<until>{_DAY})(?: or )?)?(?P<odometer>{_READ})?: (?P<why>.+)")
REFUSED = re.compile("re-check refused: (?P<why>.+)")
REFERRED = re.compile("re-check handed to (?P<whom>[^:]+): (?P<why>.+)")
ANSWERED = re.compile(rf"re-check found (?P<found>in order|fault found) elsewhere(?: at {_ODOMETER})?{_WHY}")
STRUCK = re.compile(r"line (?P<line>[0-9]{1,4}) struck: (?P<why>.+)")
UNDONE = re.compile(rf"taken back{_WHY}")
CONCEDED = re.compile(
    rf"conceded (?P<rule>[a-z_/-]+) on (?P<subject>.+) until (?P<until>{_DAY}): (?P<basis>[^,]+), (?P<limit>.+)"
)
REPORTED = re.compile(rf"{_VEHICLE} {_KEY} reported loosened: (?P<why>.+)")
LOOSENED = re.compile(rf"{_KEY} loosened: (?P<why>.+)")
MARKED = re.compile(rf"{_KEY} mark (?P<state>{_any(MarkState)}){_WHY}")
CHECKED = re.compile(rf"{_KEY} checked (?P<method>{_any(CheckMethod, METHODS)}){_WHY}")
MEASURED = re.compile(
    rf"{_KEY} measured (?:(?P<value>[^\sa-z]\S* \S+)(?P<uncertainty> ± \S+ \S+)?(?: at (?P<place>.+?))?"
    rf"|(?P<inputs>[a-z].+?))(?: under (?P<conditions>[^=]+=.+?))?{_AGAIN}"
)
STEPPED = re.compile(rf"{_KEY} (?P<answer>{_any(ANSWERS, SAID)}){_WHY}")
FITTED = re.compile(
    rf"{_KEY} fitted(?P<used> used)? (?P<part>.+?)(?: lot (?P<lot>\S+))?(?: with (?P<attributes>[^=]+=.+?))?{_AGAIN}"
)
TIGHTENED = re.compile(
    rf"{_KEY}(?: stage (?P<stage>[0-9]{{1,3}}))?(?: (?P<shown>\S+ \S+) with {_WRENCH})?"
    r"(?: adapter (?P<adapter>\S+@\S+(?: and \S+@\S+)*)|(?P<bare> without adapter))?"
    r"(?: then (?P<angle>\S+°)(?: to (?P<final>\S+ \S+))?)?"
    rf"(?: slot (?P<slot>{_any(Slot, SLOTS)})(?: at (?P<at_slot>\S+ \S+))?)?{_DRAG}"
    rf"(?: (?P<outcome>{_OUTCOME}))?(?P<bad> thread bad)?(?: helped by (?P<helpers>{_PERSON}(?: and {_PERSON})*))?"
    rf"(?: but (?P<but>[0-9]+ {_OUTCOME}))?{_AGAIN}"
)
