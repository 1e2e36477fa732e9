"""What `--json` prints: every key as literal text, so that no renamed field of a view changes what others read.

A key is added here when one is added. One that is taken away or renamed breaks whoever reads it, so the
        changelog says
why.
"""

import json
import shutil
import subprocess
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.model.shown.section import Chart, ExtraSection
from torqueaudit.model.wrench.acts import Calibrate, CheckWrench, NewWrench
from torqueaudit.plugins import Plugins
from torqueaudit.reports.json.section import section_json
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.search.disclosures import disclose
from torqueaudit.workshop.signing.devices import admit, invite
from torqueaudit.workshop.signing.pins import require_pin
from torqueaudit.workshop.signing.programs import let_in
from torqueaudit.workshop.wrenches.calibrations import calibrate, check_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench

Run = Callable[..., subprocess.CompletedProcess[str]]

AXLE = Path(__file__).parents[2] / "torqueaudit" / "testing" / "axle.toml"
CARD = """
2025-03-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2025-03-02 10:05 rear-axle-nut 100 N·m with W-4 by P-2
2025-03-02 10:06 rear-axle-nut mark intact by P-2
2025-03-02 10:07 rear-axle-nut mark intact by P-2
2025-03-02 10:08 line 4 struck: told twice by P-2
2025-03-02 10:20 handed over at 12010 km with stops: fetched at once by P-1
2025-03-03 10:00 job 2 opened final-drive on V-2 at 12000 km by P-2
2025-03-03 10:05 disc-bolt 210 N·m with W-2 by P-2
2025-03-03 10:20 handed over at 12010 km with stops: fetched at once by P-1
2025-03-20 10:00 V-1 rear-axle-nut reported loosened: seen in the yard by owner
"""
FOUND = "100 N·m: 100.2 100.1 100.6 100.4 100.9; W 1.4 %"
DOUBTED = 'mark = true\nthread = "M6"\nproperty_class = "8.8"'
OUT = "100 N·m: 90 90 90 90 90"

ASKED = {
    "settings show": """
        zone base_address workshop_address own_tolerance_percent late_minutes untouched_days due_soon_days check_seconds
        single_handed guard_factor correct_deviation calibration_months calibration_cycles wrench_due_soon_days
        backup_days telephone mail_address
        labels_published weekly_reminders quiet_from quiet_until
        label_printer label_stock upper_case_labels pin_at_terminal disclosure_days
        demo expected_plugins blocked_plugins
    """,
    "person list": "person roles supervisor name starts_on left_on locked",
    "device list": "device name admitted_on by withdrawn_on locked last_seen has_key",
    "program list": "program name role admitted_on by last_day withdrawn_on is_let_in last_seen has_key",
    "vehicle list": "vehicle tag",
    "recheck due": """
        job vehicle tag title holds says due_on due_distance_m due_min done_on done_by state late_days late_m late_min
        estimated looks done_elsewhere asked arranged
    """,
    "disclosures V-1": "at by door of shown",
    "vehicle owner V-1": """
        vehicle tag model known { field value } consent reminded_by others due
        said { on job says entry } reminders disclosed demo
    """,
    "find seen in": """
        typed hits { noun number title vehicle on reasons { field says on entry struck personal } } more
    """,
    "vehicle show V-1": """
        vehicle site tag model year here since gone instrument odometer_m run_min demo
        stops { job rule weight subject says entry }
        unsigned fasteners { job signed position name specified source state applied applied_nm corrected_nm
        corrected_expanded_nm not_known
        angle_deg final_nm drag_nm seat_nm seat_expanded_nm slot slot_nm slot_expanded_nm slot_below beyond shown
        wrench by when outcome mark mark_wanted mark_seen_on
        check_wanted checked_by check_method undone overtaken_by entry expanded_nm verdict proof budget photos logged }
        jobs {
        job title state opened_on recheck } head asked_at
    """,
    "vehicle life V-1": """
        vehicle site tag model year here since gone instrument odometer_m run_min demo stops { job rule weight
        subject says entry } unsigned fasteners { job signed position name specified source state applied
        applied_nm corrected_nm corrected_expanded_nm not_known angle_deg final_nm drag_nm seat_nm
        seat_expanded_nm slot slot_nm slot_expanded_nm slot_below beyond shown wrench by when outcome mark
        mark_wanted mark_seen_on check_wanted checked_by check_method undone overtaken_by entry expanded_nm
        verdict proof budget photos logged open } jobs { job title state opened_on recheck } head asked_at
        riding entry stretches { here gone since until read_first read_last ran jobs course { job entries by
        when recorded_at says why late struck } } measured parts
    """,
    "wrench list": """
        number tag kind state why reach min_nm max_nm due_on overload { job position on entry shown shown_nm says }
    """,
    "wrench show W-2": """
        number tag kind state why owner construction iso_class permissible_percent min_nm max_nm scales lever_mm
        lever_expanded_mm direction due_on cycles cycles_allowed calibration history uses { job vehicle position on
        entry doubt inside known verdict applied_nm expanded_nm final_nm final_expanded_nm } doubtful not_known
        put_right demo reach direction_stated order_asked overload {
        job position on entry shown shown_nm says }
        drift interval
    """,
    "wrench show W-4": """
        number tag kind state why owner construction iso_class permissible_percent min_nm max_nm scales { unit division
        unit_nm } lever_mm lever_expanded_mm direction due_on cycles cycles_allowed calibration { entry on due_on
        certificate
        laboratory decision_rule as_found { at unit references shown_nm references_nm deviation_percent
        worst_percent expanded_percent interval_percent outside } as_left { at unit references shown_nm
        references_nm deviation_percent worst_percent expanded_percent interval_percent outside } adapter paper
        hour direction reference temperature_c technician } history {
        entry on what says } uses { job vehicle position on entry doubt inside known
        verdict applied_nm expanded_nm final_nm final_expanded_nm }
        doubtful { job
        vehicle position on entry doubt inside known verdict applied_nm expanded_nm final_nm final_expanded_nm
        } not_known put_right demo reach direction_stated order_asked
        overload
        drift interval
    """,
    "procedure list": "digest name title edition read_by read_on",
    "job list": """
        job vehicle procedure title token state opened_on last_recorded handed_over_on released due_on
        due_distance_m due_min odometer_m rechecked_on unchecked holds withdrawn
    """,
    "job show 2": """
        number site token vehicle vehicle_tag title edition digest only state demo opened_on opened_by opened_entry
        handed_over_on odometer_m run_min released_by released_entry hand_over_entry here unsigned follows followed_by
        carried put_right withdrawn fasteners { position name specified source state applied applied_nm
        corrected_nm corrected_expanded_nm
        not_known
        angle_deg final_nm drag_nm seat_nm seat_expanded_nm slot slot_nm slot_expanded_nm slot_below beyond shown
        wrench by when outcome mark mark_wanted mark_seen_on check_wanted
        checked_by check_method undone overtaken_by entry expanded_nm verdict proof budget photos logged } items { kind
        key name said limits by entry photos } findings { finding { rule weight subject says entry } concession } next
        next_commands recheck_wanted recheck { due_on due_distance_m due_min done_on done_by state late_days late_m
        late_min estimated
        looks done_elsewhere asked arranged } strikes panels
        warnings head asked_at
    """,
    "job compare 1 2": """
        one other demo differences course { what one other differs }
        works { kind name only differing rows { what one other differs } }
    """,
    "job show 1 --as-of 26": """
        number site token vehicle vehicle_tag title edition digest only state demo opened_on opened_by opened_entry
        handed_over_on odometer_m run_min released_by released_entry hand_over_entry here unsigned follows followed_by
        carried put_right withdrawn fasteners { position name specified source state applied applied_nm corrected_nm
        corrected_expanded_nm not_known angle_deg final_nm drag_nm seat_nm seat_expanded_nm slot slot_nm
        slot_expanded_nm slot_below beyond shown wrench by when outcome mark mark_wanted mark_seen_on check_wanted
        checked_by check_method undone overtaken_by entry expanded_nm verdict proof budget photos logged } items
        findings { finding { rule weight subject says entry } concession } next recheck_wanted recheck { due_on
        due_distance_m due_min done_on done_by state late_days late_m late_min estimated looks done_elsewhere asked
        arranged } strikes panels warnings head asked_at as_of as_of_recorded_at riding newest before after course {
        job entries by when recorded_at says why late struck }
    """,
    "tightening show 1 rear-axle-nut": """
        job fastener specified source demo passes { entry position name stands final by when outcome wrench
        shown applied_nm corrected_nm corrected_expanded_nm not_known expanded_nm drag_nm seat_nm
        seat_expanded_nm slot_nm slot_expanded_nm
        slot_below beyond verdict
        decision_rule probability not_proved
        deviation_corrected budget
        { name relative adds } drag_budget cycles log }
    """,
    "nightly --date 2025-03-20": """
        date site demo exit_code sections { key title lines { vehicle tag job title holds says days_late
        metres_late minutes_late call } }
        motorcycles { vehicle tag calls reached reasons { section job title holds says days_late metres_late
        minutes_late call } }
        trends { months marks_disturbed } extra judged_in_full verified_in_full head
        seal { note size key_id sealed_at } asked_at
    """,
    "today": """
        date site demo sections { key title lines { vehicle tag job title holds says days_late metres_late
        minutes_late call } }
        motorcycles { vehicle tag calls reached reasons { section job title holds says days_late metres_late
        minutes_late call } }
        judged_in_full full_tonight asked_at
    """,
    "signed --from 2025-03-01 --to 2025-03-20": """
        from to site demo unread jobs { job vehicle tag title state withdrawn opened { by when entry } released
        handed_over { by when entry stops why } unsigned fasteners { name positions state tightened { by when entry }
        supervisor helpers wrench outcome check_wanted checked }
        conceded struck { by when entry struck what about why since }
        late } facts { key says jobs } head asked_at
    """,
    "ledger verify": "sound faults remarks head held { kept given lost }",
    "ledger head": "head",
    "ledger show --to 1": """
        site sequence id subject number kind happened_at recorded_at who said { expected_plugins zone } words
        judged { role } previous digest of
    """,
    "plugins": "name version hooks state",
}
TOLD = {
    "person|add|Hortense Sample|--role|mechanic": "person",
    "person|change|P-3|--role|foreman": "person roles supervisor name starts_on left_on locked",
    "person|end|P-2|--on|2025-03-02": "person left_on trainees entries",
    "person|unlock|P-2": "unlocked",
    "device|admit|--name|phone": "name address until",
    "device|withdraw|D-1|--why|lost": "device",
    "program|admit|--name|calendar|--until|{today}": "program key role last_day",
    "program|withdraw|A-1|--why|kept elsewhere": "program",
    "vehicle|add|bike-4|--model|Kestrel 500": "vehicle remark",
    "vehicle|change|V-1|--model|Merlin 700|--plate|Y-ARD 102": """
        vehicle tag model year entry personal jobs { job before now }
    """,
    "vehicle|strike|V-1|{report}|--why|another one": "vehicle entry said",
    "vehicle|gone|V-1|--why|scrapped|--sure": "vehicle",
    "vehicle|arrived|V-1|--odometer|12100 km": "vehicle",
    "wrench|add|blue|--kind|setting": "wrench remark",
    "wrench|change|W-4|--lever|480|--range|20 N·m|90 N·m": """
        wrench entry says uses { job vehicle position on entry doubt inside known verdict applied_nm
        expanded_nm final_nm final_expanded_nm }
    """,
    "wrench|calibrate|W-4|--on|2025-03-21|--laboratory|L|--as-found|100 N·m: 90 90 90 90 90": """
        wrench on passed due_on withdrawn found_out doubtful { job vehicle position on entry doubt inside
        known verdict applied_nm
        expanded_nm final_nm final_expanded_nm }
        not_known
        remarks order_asked { entries out says }
    """,
    "wrench|check|W-4|--tester|own|--point|100 N·m: 90 90 90 90 90": """
        wrench on passed due_on withdrawn found_out doubtful not_known remarks order_asked
    """,
    "wrench|hour|W-4|{last}|0:01": "wrench entry what hour withdrawn order_asked",
    "wrench|dropped|W-1|--why|fell": "wrench withdrawn",
    "wrench|overloaded|W-1|--why|bent": "wrench withdrawn",
    "wrench|estimate|W-1|7|--why|lent out": "wrench cycles",
    "wrench|withdraw|W-1|--why|slips": "wrench withdrawn",
    "wrench|strike|W-4|{last}|--why|typed twice": "wrench entry what withdrawn",
    "ledger|new-key|--why|the machine was sold": "entry key_id public_key",
    "ledger|erase-words|{loosened}|--why|it named a customer": "entries on by",
    "procedure|enter|{procedure}": """
        procedure remarks { rule weight subject says } before changes { piece what before now }
    """,
    "job|open|--vehicle|V-1|--procedure|axle": "job token only",
    "fastener|loosen|1|rear-axle-nut|--why|again|--here": """
        job state findings { rule weight subject says entry } stops next next_commands vehicle vehicle_tag title
        arrived understood passes group
    """,
    "fastener|tighten|2|sprocket-bolt|--wrench|W-1|--shown|50 N·m|--outcome|turned and clicked|--here": """
        job state findings { rule weight subject says entry } stops next next_commands vehicle vehicle_tag title
        arrived understood passes { entry position name outcome wrench shown applied applied_nm expanded_nm verdict }
        group { stage stages done size next }
    """,
    "measurement|take|2|slack|52 mm": """
        job state findings { rule weight subject says entry } stops next next_commands vehicle vehicle_tag title
        arrived understood passes group stored
    """,
}


def keys(content: Any) -> Iterator[str]:
    """Each key, with those of what it holds behind it in braces; of a list those of its objects together."""
    if isinstance(content, list):
        objects = [each for each in content if isinstance(each, dict)]
        names = next(iter(objects), {})
        content = {name: next((each[name] for each in objects if each.get(name)), None) for name in names}
    for name, value in content.items() if isinstance(content, dict) else ():
        inside = list(keys(value))
        yield from (name, *(("{", *inside, "}") if inside else ()))


@pytest.fixture(scope="module")
def book(ready_made_book: Path, tmp_path_factory: pytest.TempPathFactory, installed_plugins: Plugins) -> Path:
    """Two jobs, one of them on the road, and a wrench that was found out after it was used."""
    copied = Path(shutil.copy(ready_made_book, tmp_path_factory.mktemp("keys") / "yard.book"))
    clock, foreman = Clock("2025-03-01 08:00"), Say("P-1")
    with open_workshop(copied, clock=clock, chance=Random(6), plugins=installed_plugins) as workshop:
        add_wrench(workshop, NewWrench("setting", "red", "20 N·m", "200 N·m", scales=("1 N·m",)), foreman)
        calibrate(workshop, "W-4", Calibrate(date(2025, 3, 1), as_found=(FOUND,), as_left=(FOUND,)), foreman)
        let_in(workshop, foreman, "accounts", ProgramRole.READS, workshop.today())
        device = admit(workshop, invite(workshop, foreman, "phone").code).device
        for _ in range(5):
            with suppress(Refused):
                require_pin(workshop, device, "P-2", "314159")
        play(workshop, CARD)
        clock.set("2025-03-21 08:00")
        disclose(workshop, foreman, {"vehicle/V-1": ["plate"]})
        check_wrench(workshop, "W-4", CheckWrench("own", (OUT,)), foreman)
    return copied


@pytest.mark.parametrize("words", ASKED)
def test_a_question_answers_with_these_keys(book: Path, run: Run, tmp_path: Path, words: str) -> None:
    """Each command that asks, as the console script prints it, on a copy: a night keeps that it judged everything."""
    told = run(*words.split(), "--json", book=Path(shutil.copy(book, tmp_path / "yard.book")))

    assert ASKED[words].split() == list(keys(json.loads(told.stdout))), told.stderr


@pytest.mark.parametrize("words", TOLD)
def test_an_act_answers_with_these_keys(book: Path, run: Run, tmp_path: Path, words: str) -> None:
    """Each command that records, on a copy of the book."""
    copied = Path(shutil.copy(book, tmp_path / "yard.book"))
    doubted = tmp_path / "doubted.toml"
    doubted.write_text(AXLE.read_text(encoding="utf-8").replace("mark = true", DOUBTED), encoding="utf-8")
    if "{loosened}" in words:
        run("fastener", "loosen", "1", "rear-axle-nut", "--why", "again", "--here", "--by", "P-1", book=copied)
    last = int(run("ledger", "head", book=copied).stdout.split("/")[1]) if "{" in words else 0
    numbers = {"last": last, "report": last - 1, "loosened": last}
    named = {"procedure": doubted, "today": datetime.now(UTC).date() + timedelta(days=2)}
    said = [word.format(**named, **numbers) for word in words.split("|")]
    told = run(*said, "--by", "P-1", "--json", book=copied)

    assert TOLD[words].split() == list(keys(json.loads(told.stdout))), told.stderr


def test_what_a_plugin_adds_has_these_keys() -> None:
    """On a record and in the nightly report alike."""
    chart = Chart(
        title="wear",
        says="it wears",
        x_name="distance in km",
        y_name="wear in %",
        points=((1.0, 0.5),),
        band=((1.0, 0.4, 0.6),),
    )
    expected = "title sentences columns rows chart { title says x_name y_name points line band limit }"
    written = section_json(ExtraSection("Chain", ("It wears.",), ("km", "%"), (("1000", "0.5"),), chart=chart))

    assert expected.split() == list(keys(written))
