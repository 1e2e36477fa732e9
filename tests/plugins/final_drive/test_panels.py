"""What a record shows of its final drive, and a whole job from the complaint to the re-check."""

import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from scipy import stats

from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.shown.section import ExtraSection
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.wrench import add_wrench

Enter = Callable[..., None]
EXAMPLES = Path(__file__).parents[3] / "examples" / "procedures"
SOURCE = 'source = "manual"\npage = "1"\n'
CHAIN = '[[work]]\nfit = "chain"\nname = "chain"\npart = "chain"\n'
WEAR = '[[work]]\nmeasure = "wear"\nname = "chain wear"\nkind = "chain wear"\n'
PERCENT = WEAR + 'max = "0.8 %"\n' + SOURCE
PRINTED = WEAR + 'max = "288.0 mm"\n' + SOURCE
TABLE = '[x.final_drive]\nchain = "525"\nwear_pins = 19\nfront = 15\nrear = 43\nlinks = 112\n'


def panel(workshop: Workshop, job: str, title: str) -> ExtraSection | None:
    """The panel of that title."""
    return next((each for each in show_job(workshop, job).panels if each.title == title), None)


def worn(workshop: Workshop, *points: tuple[int, str], first: int = 1, month: int = 4) -> str:
    """A job every third day at each of these distances, with this length over 19 pins; the last one's number."""
    for number, (km, length) in enumerate(points, start=first):
        day = f"2031-{month:02}-{3 * number - 2:02}"
        play(workshop, f"{day} 10:00 job {number} opened drive on V-1 at {km} km by P-2")
        play(workshop, f"{day} 10:05 job {number} wear measured pins 19, length {length} mm by P-2")
    return str(first + len(points) - 1)


POINTS = ((12_000, "286.4"), (15_000, "286.7"), (18_000, "287.1"), (21_000, "287.4"))


@pytest.mark.parametrize("table", [PERCENT, PRINTED], ids=["in percent", "as printed"])
def test_wear_over_the_vehicles_jobs_is_a_line(workshop: Workshop, enter: Enter, table: str) -> None:
    """The line, and the interval of its slope, are those of scipy.stats; ± 0.1 % of each wear widens it."""
    enter(table + TABLE)
    found = panel(workshop, worn(workshop, *POINTS), "Chain wear")
    percent = [(float(length) - 285.75) / 285.75 * 100 for _, length in POINTS]
    line = stats.linregress([float(km) for km, _ in POINTS], percent)
    spread = sum((km - sum(each for each, _ in POINTS) / len(POINTS)) ** 2 for km, _ in POINTS)
    half = max(stats.t.ppf(0.975, len(POINTS) - 2) * line.stderr, stats.norm.ppf(0.975) * 0.1 / 2 / spread**0.5)
    limit = 0.8 if table is PERCENT else (288.0 - 285.75) / 285.75 * 100
    assert found is not None
    assert found.chart is not None

    slopes = [f"{1000 * (line.slope + sign * half):.3f}" for sign in (0, -1, 1)]
    reached = round((limit - line.intercept) / line.slope, -1)
    assert found.sentences[-2].startswith(
        f"It wears by {slopes[0]} % in 1000 km ({slopes[1]} to {slopes[2]}). The line reaches the limit of {limit:.3g} "
        f"% at {reached:.0f} km ("
    )
    assert re.search(
        r"\(at least \d+ km, 95 % interval; too few points for an upper end, which takes 5\). Wear quickens near its "
        r"end: measure again before \d+ km\.$",
        found.sentences[-2],
    )
    assert "Each wear is taken as sure to ± 0.1 % (nobody told it)" in found.sentences[-1]
    assert [km for km, _ in POINTS] == [km for km, _ in found.chart.points]
    assert pytest.approx(percent) == [wear for _, wear in found.chart.points]
    assert "4 measurements, from 0.23 % at 12000 km to 0.58 % at 21000 km, with the line" in found.chart.says
    assert (7, found.chart.line[0][0]) == (len(found.chart.band), 12_000)


def test_too_few_points_are_no_line(workshop: Workshop, enter: Enter) -> None:
    """Two are drawn, one is not, and none has no panel."""
    enter(PERCENT + TABLE)
    job = worn(workshop, *POINTS[:1])
    one = panel(workshop, job, "Chain wear")
    two = panel(workshop, worn(workshop, POINTS[1], first=2), "Chain wear")
    assert one is not None
    assert two is not None
    assert two.chart is not None

    assert (None, (), 2) == (one.chart, two.chart.line, len(two.chart.points))
    assert one.sentences == two.sentences
    assert "Too few points for a line: wear measured at 3 different distances is needed" in one.sentences[0]
    play(workshop, "2031-04-09 10:00 job 3 opened drive on V-2 at 1000 km by P-2")
    assert panel(workshop, "3", "Chain wear") is None


def test_wear_that_does_not_rise_has_no_distance(workshop: Workshop, enter: Enter) -> None:
    enter(PERCENT + TABLE)
    found = panel(workshop, worn(workshop, (1000, "287.1"), (2000, "286.8"), (3000, "287.2")), "Chain wear")
    assert found is not None

    assert "The wear does not rise clearly over these distances" in found.sentences[-2]


@pytest.mark.parametrize(
    "points",
    [
        pytest.param(((12_000, "286.4"), (15_000, "287.2"), (18_000, "288.2")), id="the last value"),
        pytest.param(((12_000, "287.2"), (15_000, "288.0"), (18_000, "288.0")), id="the line"),
        pytest.param(((12_000, "288.2"),), id="a single value"),
    ],
)
def test_past_the_limit_now_is_said_first(
    workshop: Workshop, enter: Enter, points: tuple[tuple[int, str], ...]
) -> None:
    """And no distance beside it: 0.8 % is 288.036 mm."""
    enter(PERCENT + TABLE)
    found = panel(workshop, worn(workshop, *points), "Chain wear")
    assert found is not None

    assert "Past the limit of 0.8 % now: replace chain and both sprockets." == found.sentences[0]
    assert "reaches" not in " ".join(found.sentences)


def test_points_on_a_line_by_chance_still_have_an_interval(workshop: Workshop, enter: Enter) -> None:
    """Five that fall on one; the uncertainty that was told counts in place of the usual ± 0.1 %."""
    enter(PERCENT + TABLE)
    km = ((10_000, "286.35"), (12_500, "286.6"), (15_000, "286.85"), (17_500, "287.1"), (20_000, "287.35"))
    job = worn(workshop, *km)
    usual = panel(workshop, job, "Chain wear")
    play(workshop, f"2031-04-13 10:09 job {job} wear measured pins 19, length 287.35 mm ± 0.1 mm by P-2")
    told = panel(workshop, job, "Chain wear")
    assert usual is not None
    assert told is not None

    def width(found: ExtraSection) -> int:
        said = re.search(r"\((\d+) to (\d+) km", found.sentences[0])
        assert said is not None
        return int(said[2]) - int(said[1])

    assert width(usual) > 2 * width(told) > 2000
    assert "Each wear is taken as sure to ± 0.035 %; no interval is narrower than that allows." == told.sentences[-1]


def test_without_a_limit_there_is_no_distance_to_it(workshop: Workshop, enter: Enter) -> None:
    enter(WEAR + 'unit = "%"\n' + TABLE)
    found = panel(workshop, worn(workshop, *POINTS), "Chain wear")
    assert found is not None
    assert found.chart is not None

    assert found.sentences[-2].endswith("No limit is stated, so no distance to it.")
    assert found.chart.limit is None


def test_each_chain_has_its_own_line(workshop: Workshop, enter: Enter) -> None:
    """Wear begins anew with a new chain; the old record keeps its own, as history."""
    enter(CHAIN + PERCENT + TABLE)
    old = worn(workshop, *POINTS)
    play(workshop, "2031-04-13 10:00 job 5 opened drive on V-1 at 22000 km by P-2")
    play(workshop, "2031-04-13 10:05 job 5 chain fitted chain with links=112, size=525 by P-2")
    new = worn(workshop, (23_000, "286.2"), first=6, month=5)
    before, after = (panel(workshop, job, "Chain wear") for job in (old, new))
    assert before is not None
    assert after is not None

    assert "This chain came off on 2031-04-13, see job 5." == before.sentences[0]
    assert "It wore by " in before.sentences[1]
    assert "would have reached the limit" in before.sentences[1]
    assert before.chart is not None
    assert 4 == len(before.chart.points)
    assert "Too few points" in after.sentences[0]


def test_a_value_without_a_distance_is_left_out_and_said(workshop: Workshop, enter: Enter) -> None:
    enter(PERCENT + TABLE)
    worn(workshop, *POINTS[:3])
    play(workshop, "2031-04-06 10:00 job 4 opened drive on V-1 by P-2")
    play(workshop, "2031-04-06 10:05 job 4 wear measured pins 19, length 287.4 mm by P-2")
    found = panel(workshop, "4", "Chain wear")
    assert found is not None
    assert found.chart is not None

    assert ("1 measured without a distance and left out.", 3) == (found.sentences[0], len(found.chart.points))


LOOKS = 'conditions = { end = "rear" }\nmax = "1 mm"\n' + SOURCE
ALIGNMENT = '[[work]]\nmeasure = "alignment"\nname = "alignment"\nkind = "wheel alignment"\n' + LOOKS


def test_what_to_move_is_shown_until_it_is_set(workshop: Workshop, enter: Enter) -> None:
    """Read from the rear end, the side that reads more stands further forward."""
    enter(ALIGNMENT + TABLE)
    play(workshop, "2031-04-02 10:00 job 1 opened drive on V-1 at 12000 km by P-2")
    play(workshop, "2031-04-02 10:05 job 1 alignment measured left 60 mm, right 58 mm by P-2")
    found = panel(workshop, "1", "What to move")
    play(workshop, "2031-04-02 10:09 job 1 alignment measured left 60 mm, right 59.5 mm by P-2")

    assert found is not None
    assert (
        "Alignment: move left back and right forward by 1 mm each, which keeps the slack; or left alone back by 2 mm."
    ) == found.sentences[0]
    assert panel(workshop, "1", "What to move") is None


def test_what_a_later_job_set_is_not_to_be_moved(workshop: Workshop, enter: Enter) -> None:
    enter(ALIGNMENT + TABLE)
    for job, right in ((1, "58"), (2, "59.8")):
        play(workshop, f"2031-04-0{job} 10:00 job {job} opened drive on V-1 at 12000 km by P-2")
        play(workshop, f"2031-04-0{job} 10:05 job {job} alignment measured left 60 mm, right {right} mm by P-2")

    assert panel(workshop, "1", "What to move") is None


SEARCH = """
2031-05-02 09:00 job {search} opened drive-jerks on V-4 at 21000 km by P-2
2031-05-02 09:01 bike-secured yes by P-2
2031-05-02 09:05 turn-by-hand yes by P-2
2031-05-02 09:08 chain-look yes by P-2
2031-05-02 09:15 front-sprocket-look no: five teeth hooked by P-2
2031-05-02 09:20 adjuster-position measured left 27 mm, right 27 mm by P-2
2031-05-02 09:25 wear measured pins 19, length 288.3 mm ± 0.2 mm at link 1, length 287.7 mm ± 0.2 mm at link 50 by P-2
2031-05-02 09:30 adjusters-restored yes by P-2
2031-05-02 09:32 slack measured slack 36 mm at link 1, slack 40 mm at link 50 by P-2
2031-05-02 09:35 alignment measured left 427 mm, right 427 mm by P-2
"""
ALWAYS = "\n".join(
    f"2031-05-02 09:4{minute} {key}-look yes by P-2"
    for minute, key in enumerate(("front-nut", "wheel-bearings", "axle", "brake"))
)
FOLLOWED = """
2031-05-02 10:00 job {after} opened final-drive on V-4 at 21000 km after job {search} by P-2
2031-05-02 10:01 bike-secured yes by P-2
2031-05-02 10:02 front-nut-loosened yes by P-2
2031-05-02 10:03 chain-off yes by P-2
2031-05-02 10:04 wheel-out yes by P-2
2031-05-02 10:05 compared yes by P-2
2031-05-02 10:06 bearings-look yes by P-2
2031-05-02 10:07 dampers-look yes by P-2
2031-05-02 10:08 axle-look yes by P-2
2031-05-02 10:09 rear-sprocket fitted sprocket with teeth=43, size=525, material=steel by P-2
2031-05-02 10:10 sprocket-bolt stage 1 50 N·m with W-1 by P-2
2031-05-02 10:11 sprocket-bolt stage 2 50 N·m with W-1 by P-2
2031-05-02 10:12 sprocket-bolt stage 3 50 N·m with W-1 by P-2
2031-05-02 10:13 sprocket-bolt stage 4 50 N·m with W-1 by P-2
2031-05-02 10:14 sprocket-seated yes by P-2
2031-05-02 10:15 wheel-in yes by P-2
2031-05-02 10:16 caliper-carrier-bolt 24 N·m with W-1 by P-2
2031-05-02 10:17 torque-arm-bolt 32 N·m with W-1 by P-2
2031-05-02 10:18 sensor-ring-clear yes by P-2
2031-05-02 10:19 axle-snug yes by P-2
2031-05-02 10:20 shaft-look yes by P-2
2031-05-02 10:21 front-sprocket fitted sprocket with teeth=15, size=525, material=steel by P-2
2031-05-02 10:22 chain fitted chain with make and type=Millrace, size=525, links=112, seal=X-ring by P-2
2031-05-02 10:23 rivet-link fitted link with make and type=Millrace, size=525, type=rivet by P-2
2031-05-02 10:24 rivet-flare measured rivet 6.2 mm, rivet 6.25 mm by P-2
2031-05-02 10:25 pedal-pumped yes by P-2
2031-05-02 10:26 tab-washer fitted washer by P-2
2031-05-02 10:27 front-sprocket-nut 100 N·m with W-1 by P-2
"""
COVERED = """
2031-05-02 10:40 cover-on yes by P-2
2031-05-02 10:41 slack measured 57 mm by P-2
2031-05-02 10:42 alignment measured left 412.5 mm, right 412 mm by P-2
"""
SET = """
2031-05-02 10:44 slack measured 37 mm by P-2
2031-05-02 10:45 rear-axle-nut 108 N·m with W-1 by P-2
2031-05-02 10:46 adjuster-lock-left 16 N·m with W-4 by P-2
2031-05-02 10:47 adjuster-lock-right 16 N·m with W-4 by P-2
2031-05-02 10:48 rear-axle-nut mark intact by P-2
2031-05-02 10:48 adjuster-lock-left mark intact by P-2
2031-05-02 10:48 adjuster-lock-right mark intact by P-2
2031-05-02 10:49 rear-axle-nut checked mark seen by P-3
2031-05-02 10:52 wheel-free yes by P-2
2031-05-02 10:53 pedal-firm yes by P-2
2031-05-02 10:54 brake-tried yes by P-2
"""
AGAIN = """
2031-05-02 10:56 slack measured 38 mm by P-2
2031-05-02 10:57 alignment measured left 412.5 mm, right 412 mm by P-2
"""
LEFT = """
2031-05-02 11:00 job {after} released by P-1
2031-05-02 11:05 job {search} released by P-1
2031-05-02 11:10 job {after} handed over at 21001 km by P-1
2031-05-02 11:11 job {search} handed over at 21001 km by P-1
2031-05-06 18:00 job {after} ridden to 21095 km: pulls evenly by owner
"""
MARKED = ("sprocket-bolt", "caliper-carrier-bolt", "torque-arm-bolt", "front-sprocket-nut")
SEEN = (*MARKED, "rear-axle-nut", "adjuster-lock-left", "adjuster-lock-right")


def stops(workshop: Workshop, job: str) -> set[str]:
    return {each.finding.rule for each in show_job(workshop, job).findings if each.finding.weight.value == "stop"}


def test_a_whole_job_from_the_complaint_to_the_re_check(workshop: Workshop) -> None:
    """Each stop where it belongs, and none at the end."""
    for name in ("drive-jerks", "final-drive"):
        digest = enter_procedure(workshop, EXAMPLES / f"{name}.toml", Say("P-2"))
        read_against_source(workshop, digest, "", Say("P-3"))
    add_vehicle(workshop, "bike-4", "Kestrel 500", 2030, {"frame_number": "KS5000007"}, Say("P-1"))
    add_wrench(
        workshop,
        NewWrench(
            kind="setting",
            tag="small",
            lowest="5 N·m",
            highest="25 N·m",
            lever_mm=Decimal(250),
            due_on=date(2032, 3, 31),
        ),
        Say("P-1"),
    )
    search, after = "1", "2"

    play(workshop, SEARCH.format(search=search))
    assert {
        "workshop_rules/fault-found",
        "workshop_rules/measurement-outside",
        "workshop_rules/step-not-done",
    } == stops(workshop, search)
    play(workshop, ALWAYS.replace(" front-nut-look", f" job {search} front-nut-look", 1))
    assert {"workshop_rules/fault-found", "workshop_rules/measurement-outside"} == stops(workshop, search)
    with pytest.raises(Refused, match="cannot be released while 2 stop"):
        play(workshop, f"2031-05-02 09:50 job {search} released by P-1")

    play(workshop, FOLLOWED.format(search=search, after=after))
    for key in MARKED:
        play(workshop, f"2031-05-02 10:30 job {after} {key} mark intact by P-2")
        play(workshop, f"2031-05-02 10:31 job {after} {key} checked mark seen by P-3")
    follows = show_job(workshop, after).follows
    assert follows is not None
    assert [
        (
            "teeth of the front sprocket: fault found (five teeth hooked). Hooked or missing teeth: fit chain and both "
            "sprockets new, for a worn one soon wears new ones."
        ),
        (
            "chain wear: 288.3 mm ± 0.2 mm (pins 19, length 288.3 mm at link 1, length 287.7 mm at link 50); max 288.0 "
            "mm is specified."
        ),
    ] == list(follows.carried)
    play(workshop, COVERED.replace(" cover-on", f" job {after} cover-on"))
    assert findings(workshop, after, rule="final_drive/axle-to-move")[0].startswith(
        "chain slack: move the axle back by 0.73 mm"
    )
    play(workshop, SET.replace(" slack", f" job {after} slack", 1))
    assert {"workshop_rules/not-measured-again"} == stops(workshop, after)
    play(workshop, AGAIN.replace(" slack", f" job {after} slack", 1))
    assert set() == stops(workshop, after)

    play(workshop, LEFT.format(search=search, after=after))
    assert ["Put right on job 2."] == [
        each[-19:] for each in findings(workshop, search, rule="workshop_rules/measurement-outside")
    ]
    assert set() == stops(workshop, search)
    turned = panel(workshop, after, "What the re-check may turn")
    care = panel(workshop, after, "Looking after the chain")
    assert turned is not None
    assert care is not None
    assert (
        (
            "By torque, without slackening: rear axle nut. By the mark alone, never by torque: front sprocket nut (tab "
            "washer)."
        ),
    ) == turned.sentences
    assert (
        "Wash and wax every 1200 km, on unpaved roads each 400 km: dry brush, then wax on the inside of the lower run "
        "(Millrace, chain leaflet; followed here). Manual, 2-20, says: every 700 km, after each ride on sand: soap and "
        "warm water, dry cloth, then wax."
    ) == care.sentences[0]

    for key in SEEN:
        play(workshop, f"2031-05-08 09:00 job {after} {key} mark intact by P-3")
    play(workshop, f"2031-05-08 09:05 job {after} rear-axle-nut 108 N·m with W-1 clicked without turning by P-3")
    play(workshop, f"2031-05-08 09:06 job {after} slack measured 40 mm by P-3")
    play(workshop, f"2031-05-08 09:07 job {after} alignment measured left 412.5 mm, right 412 mm by P-3")
    play(workshop, f"2031-05-08 09:10 job {after} re-checked at 21100 km by P-3")
    done = show_job(workshop, after)

    assert ("re-checked", set()) == (done.state, stops(workshop, after))
    assert {"Looking after the chain"} == {each.title for each in done.panels}
    assert any("Looking after the chain:" in line for line in lines_of(done))


LOCKED = """
[[work]]
tighten = "glued"
name = "glued bolt"
torque = "22 N·m"
tolerance = "10 %"
condition = "threadlocker"
cure_time_h = 1
source = "manual"
page = "1"
[[work]]
tighten = "turned"
name = "turned bolt"
torque = "30 N·m"
tolerance = "10 %"
method = "torque and angle"
angle = "45°"
mark = true
source = "manual"
page = "1"
[[work]]
tighten = "plain"
name = "plain nut"
torque = "30 N·m"
tolerance = "10 %"
source = "manual"
page = "1"
[recheck]
days = 14
torques = ["plain"]
"""


def test_what_is_locked_is_looked_at_by_its_mark_alone(workshop: Workshop, enter: Enter) -> None:
    """Threadlocked, tightened by angle; and nothing of what a later job undid."""
    enter(LOCKED + TABLE)
    play(
        workshop,
        """
        2031-04-02 10:00 job 1 opened drive on V-1 at 12000 km by P-2
        2031-04-02 10:05 glued 22 N·m with W-1 by P-2
        2031-04-02 10:06 turned 30 N·m with W-1 then 45° by P-2
        2031-04-02 10:07 plain 30 N·m with W-1 by P-2
        2031-04-02 10:08 turned mark intact by P-2
        2031-04-02 12:00 released by P-1
        """,
    )
    found = panel(workshop, "1", "What the re-check may turn")
    assert found is not None
    assert (
        (
            "By torque, without slackening: plain nut. By the mark alone, never by torque: glued bolt (threadlocker); "
            "turned bolt (tightened by angle)."
        ),
    ) == found.sentences

    play(workshop, "2031-04-05 10:00 V-1 plain reported loosened: by the roadside by owner")
    again = panel(workshop, "1", "What the re-check may turn")
    assert again is not None
    assert again.sentences[0].startswith("By the mark alone")
