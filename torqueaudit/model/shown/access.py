"""Who sees what of a view: one row for each view, with the least audience that sees each of its fields.

Whoever scans a label is a stranger: the pages ask as one, and so does whoever prints a label, as it is read by
everybody. The owner sees what a stranger does, until a page knows its owner. Staff and foreman see everything; the
command line speaks to whoever holds the book's file, so it need not ask. Names, plates and contacts lie apart from the
ledger, and people are numbers: no view holds any, but what staff are shown once that was noted (decision 0117).
"""

from collections.abc import Callable, Mapping
from functools import cache, partial
from typing import Any, Literal, TypeAlias, TypeVar, cast

Audience: TypeAlias = Literal["stranger", "owner", "staff", "foreman"]
V = TypeVar("V")

# Each sees what those before it see.
AUDIENCES: tuple[Audience, ...] = ("stranger", "owner", "staff", "foreman")

# By the name of the view, so that nobody who asks for one loads them all.
ACCESS: Mapping[str, Mapping[Audience, str]] = {
    # A job: all but the acts that answer it, and how worn a wrench is.
    "JobView": {
        "stranger": "number token vehicle vehicle_tag procedure book state withdrawn opening release hand_over "
        "presence unsigned follows followed_by fasteners items findings to_do recheck_wanted recheck strikes panels "
        "warnings instrument"
    },
    "ProcedureView": {"stranger": "title edition only", "staff": "digest"},
    "Piece": {"staff": "key kind name page stated"},
    "Stated": {"staff": "field label says printed means"},
    "Change": {"staff": "piece what before now"},
    "BookView": {"stranger": "site demo head asked_at"},
    "OpeningView": {"stranger": "on by entry odometer_m run_min"},
    "ReleaseView": {"stranger": "by entry"},
    "HandOverView": {"stranger": "on odometer_m run_min entry"},
    "Presence": {"stranger": "here since gone"},
    "FollowedView": {"stranger": "job carried put_right"},
    "FastenerView": {
        "stranger": "position subject specification state undone overtaken_by done loosened mark check",
        "staff": "photos logged",
    },
    "LoggedView": {"staff": "entry when wrench shown number run_by file line"},
    "PhotoView": {"staff": "digest small entry by when why stands erased"},
    "SpecificationView": {"stranger": "says source"},
    "PassView": {
        "stranger": (
            "entry final by when outcome wrench shown applied_nm expanded_nm limits beyond judged budget deviation "
            "corrected_nm corrected_expanded_nm not_known seat"
        ),
        "staff": "cycles",
    },
    "BeyondView": {"stranger": "says angle_deg final_nm drag slot at_slot"},
    "Drag": {"stranger": "exact least_nm most_nm lines same not_proved"},
    "Seat": {"stranger": "nm expanded_nm not_proved"},
    "AtSlot": {"stranger": "nm expanded_nm not_proved shown_nm below shown"},
    "JudgedView": {"stranger": "verdict decision_rule probability not_proved"},
    "BudgetLine": {"stranger": "name relative adds"},
    "MarkView": {"stranger": "wanted state seen_on"},
    "CheckView": {"stranger": "wanted by method"},
    "ItemView": {"stranger": "kind key name said limits by entry", "staff": "photos"},
    "FindingView": {"stranger": "finding concession limit"},
    "Finding": {"stranger": "rule weight about words entry called see", "staff": "concedable answer due"},
    "Subject": {"stranger": "name number key position"},
    "ToDo": {"stranger": "sentence see", "staff": "answer"},
    "See": {"stranger": "topic of only"},
    "Next": {"staff": "act key stage angle adapter look asks only"},
    "Asked": {"staff": "name unit"},
    "RecheckView": {
        "stranger": "due_on due_distance_m due_min instrument standing done_on done_by done_elsewhere asked looks "
        "arranged"
    },
    "ArrangedView": {"stranger": "what on by entry", "staff": "to_whom why"},
    "DueRecheck": {"staff": "job vehicle tag title holds recheck"},
    "AskedDay": {"stranger": "on half", "staff": "entry by"},
    "Standing": {"stranger": "state days metres minutes estimated"},
    "ExtraSection": {"stranger": "title sentences columns rows chart"},
    "Chart": {"stranger": "title says x_name y_name points line band limit"},
    # A vehicle, which a label of any of its jobs leads to: no plate and no contact is in it.
    "VehicleView": {
        "stranger": "number tag model instrument presence works jobs book",
        "staff": "year odometer_m run_min",
    },
    "PresentFastener": {"stranger": "job signed fastener"},
    "StandingStop": {"stranger": "job finding"},
    "JobOfVehicle": {"stranger": "job title state opened_on recheck"},
    # What an owner needs to know of a vehicle, who is a stranger to the pages as well.
    "OwnerView": {
        "stranger": "job token tag workshop telephone demo asked_on left_on safety says limits back no_day marks "
        "places away instrument"
    },
    "NoDay": {"stranger": "headline says due_on due_distance_m due_min instrument settled"},
    "ExpectedBack": {
        "stranger": "job token leaving target sequence due_on due_distance_m due_min instrument last_day asked "
        "state far"
    },
    "WhenBack": {"stranger": "by at when due to_come reached"},
    "Place": {"stranger": "key name"},
    # The words of its pages, worked out of a view that was asked for by whoever reads them.
    "VehicleCard": {"stranger": "weight figure says stops"},
    "Due": {"stranger": "urgency figure says late looks job state estimate"},
    "FastenerLine": {
        "stranger": "name emblem mark seen figure number specified note done checked lacks undone job",
    },
    "Proof": {"stranger": "names says budget adds"},
    "StepRun": {"stranger": "name said by many"},
    # What staff read of the past: also who struck what and why.
    "JobThen": {"staff": "job vehicle entry recorded newest before after course"},
    "Happening": {"staff": "job entries by when recorded says why late struck"},
    "Said": {"staff": "says why"},
    "ComparedJobs": {"staff": "one other course works"},
    "ComparedWork": {"staff": "kind name rows only"},
    "ComparedRow": {"staff": "what one other differs"},
    "LifeView": {"staff": "vehicle entry stretches series parts"},
    "Stretch": {"staff": "here gone since until read_first read_last ran course"},
    "FastenerNow": {"staff": "present line source open"},
    "Series": {"staff": "key name unit taken chart"},
    "ValueTaken": {"staff": "job entry by when value says limits verdict at late"},
    "PartOn": {"staff": "key name part lot new attributes job entry since at until replaced_by ran"},
    # What staff find by words: the reasons hold names, plates and contacts.
    "Found": {"staff": "typed hits more"},
    "Hit": {"staff": "noun number title vehicle on whys"},
    "Why": {"staff": "field says on entry struck personal"},
    # The card of an owner, with name, plate and contact.
    "CustomerView": {
        "staff": "vehicle tag model known consent reminded_by others due said reminders disclosed demo",
    },
    "Known": {"staff": "field value"},
    "OtherVehicle": {"staff": "number tag"},
    "Told": {"staff": "on job says entry"},
    # A record on paper, which staff hand over.
    "PaperRecord": {
        "staff": "job weight headline says due telephone label wrong conceded fasteners sources wrenches measurements "
        "parts steps photos notes reading"
    },
    "Gathered": {"staff": "wrenches label telephone lost"},
    "PaperSection": {"staff": "title sentences weight"},
    "PaperFastener": {"staff": "names line source reached judged done is_amiss is_marked"},
    "PaperWrench": {"staff": "number says rested since"},
    "PaperLabel": {"staff": "address figure token lines"},
    "PaperPhoto": {"staff": "shown says lost"},
    # A wrench, whose number can be guessed: no lender, no job, no vehicle, no place on this machine (decision 0040).
    # Of what is in doubt a stranger sees how many passes they are.
    "WrenchView": {
        "stranger": "number tag kind state why construction iso_class permissible_percent min_nm max_nm scales "
        "lever_mm lever_expanded_mm lever direction due_on cycles cycles_allowed calibration history doubtful demo "
        "reach direction_stated order_asked overload drift interval",
        "staff": "owner uses not_known put_right",
    },
    "OverloadView": {"stranger": "on entry shown shown_nm", "staff": "job position says"},
    "Scale": {"stranger": "unit division unit_nm"},
    "CalibrationView": {
        "stranger": "entry on due_on certificate laboratory decision_rule as_found as_left adapter hour direction "
        "reference temperature_c",
        "staff": "paper technician",
    },
    "PointView": {
        "stranger": "at unit references shown_nm references_nm deviation_percent worst_percent expanded_percent "
        "interval_percent outside"
    },
    "HistoryView": {"stranger": "entry on what says"},
    "DriftView": {"stranger": "at shown_nm left_on found_on moved_percent expanded_percent normalised"},
    "IntervalView": {"stranger": "months proposed says"},
    "OrderAsked": {"stranger": "entries out says"},
    "UseView": {
        "staff": (
            "job vehicle position on entry doubt inside known verdict applied_nm expanded_nm final_nm final_expanded_nm"
        )
    },
    # What no label leads to.
    "ShownPhoto": {"staff": "view shows turned"},
    "AnswerView": {"staff": "says stored passes group arrived"},
    "GroupView": {"staff": "stage stages done size next"},
    "TighteningsView": {"staff": "job fastener specified source demo passes"},
    "PassLine": {"staff": "position name stands done log"},
    "WrenchLine": {"staff": "number tag kind state why reach min_nm max_nm due_on overload"},
    "BenchAnswer": {"staff": "job fastener specified derived wrench kind unit choice why_not instead cautions fitted"},
    "ChoiceView": {"staff": "setting applied_nm expanded_nm judged budget calibrated_with stages at_slot drag seat"},
    "StageAnswer": {"staff": "wrench kind unit aim_nm setting why_not instead"},
    "StageSetting": {"staff": "written aim_nm setting"},
    "Night": {
        "staff": "date site demo sections head asked_at exit_code judged_in_full verified_in_full sound "
        "verified_to rules unreached trends extra seal"
    },
    "NightSeal": {"staff": "note size key_id sealed_at"},
    "NightSection": {"staff": "key title lines"},
    "Line": {
        "staff": "job vehicle tag title holds says see days_late metres_late minutes_late instrument call unnamed"
    },
    "Trends": {"staff": "months marks"},
    "MonthOfRechecks": {"staff": "month in_time later not_done"},
    "DisturbedMarks": {"staff": "fastener found"},
    "Today": {"staff": "date site demo sections asked_at judged_in_full full_tonight unreached"},
    "Fold": {"staff": "section rows above"},
    "Row": {"staff": "vehicle tag reasons"},
    "Reason": {"staff": "key title line"},
    "SignOff": {"staff": "first last site demo asked_at unread jobs facts head"},
    "SignedJob": {
        "staff": "number vehicle tag title state withdrawn opened releases leavings unsigned fasteners conceded "
        "struck late"
    },
    "SaidBy": {"staff": "by when entry"},
    "SignedCheck": {"staff": "said method why"},
    "SignedFastener": {"staff": "name positions state tightened supervisor helpers wrench outcome wanted check"},
    "SignedLeaving": {"staff": "said stops why"},
    "SignedConcession": {"staff": "said rule about basis limit expires_on"},
    "SignedStrike": {"staff": "said entry what about why since"},
    "LateEntry": {"staff": "said what about delay entries"},
    "Fact": {"staff": "key says jobs"},
}


# What may name somebody who is no number, or tells where a file lies: kept from other programs that read no names.
NAMES: Mapping[str, frozenset[str]] = {
    "WrenchView": frozenset({"owner"}),  # whoever lent it
    "CalibrationView": frozenset({"technician", "paper"}),
    "ArrangedView": frozenset({"to_whom", "why"}),
    "Happening": frozenset({"why"}),  # in somebody's own words
}


def seen_by(audience: Audience, view: V) -> V:
    """A view as an audience sees it: what is hidden from it is empty. Raises KeyError for a view without a row."""
    return cast("V", _without(partial(_places_hidden_from, audience), view))


def without_names(view: V) -> V:
    """A view as staff see it, for a program that was not let in to read names: what may name anybody is empty."""
    return cast("V", _without(_places_of_names, view))


@cache
def hidden_from(audience: Audience, view: str) -> frozenset[str]:
    """The fields of a view, by its name, that an audience does not see."""
    rows, beyond = ACCESS[view], AUDIENCES[AUDIENCES.index(audience) + 1 :]
    return frozenset(name for least in beyond for name in rows.get(least, "").split())


@cache
def _places_hidden_from(audience: Audience, kind: Any) -> tuple[int, ...]:
    return _places(kind, hidden_from(audience, kind.__name__))


@cache
def _places_of_names(kind: Any) -> tuple[int, ...]:
    return _places(kind, NAMES.get(kind.__name__, frozenset()))


def _places(kind: Any, names: frozenset[str]) -> tuple[int, ...]:
    return tuple(place for place, name in enumerate(kind._fields) if name in names)


def _without(hidden: Callable[[Any], tuple[int, ...]], view: Any) -> Any:
    """A view, or several of them, without what is hidden in each. A page has hundreds, most fields of them no views."""
    parts, kind = list(view), type(view)
    if kind is not tuple:
        for place in hidden(kind):
            parts[place] = _empty(parts[place])
    for place, part in enumerate(parts):
        if isinstance(part, tuple):
            parts[place] = _without(hidden, part)
    return tuple(parts) if kind is tuple else kind._make(parts)


def _empty(value: Any) -> Any:
    """The value of its kind that says nothing."""
    if isinstance(value, str):
        return ""
    return () if isinstance(value, tuple) and not hasattr(value, "_fields") else None
