"""The life of a motorcycle: one line of time that leaves nothing out, and a present truth that every door shares."""

import os
import shutil
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest
from histories import History, yard_of

from torqueaudit.book import queries
from torqueaudit.cards.card import Clock
from torqueaudit.cli.life_sheet import lines_of
from torqueaudit.model.act import Say
from torqueaudit.model.shown.fastener_lines import fastener_lines
from torqueaudit.model.shown.life import LifeView, PartOn, Stretch
from torqueaudit.model.vehicle.exchange import Replaced
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.model.vehicle.vehicle import KINDS, STRUCK
from torqueaudit.plugins import Plugins
from torqueaudit.reports.json.life import life_json
from torqueaudit.reports.json.vehicle import vehicle_view_json
from torqueaudit.testing import play
from torqueaudit.web.record_page import record_page
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.life.life import life_of, show_life
from torqueaudit.workshop.life.vehicle_course import SAID
from torqueaudit.workshop.vehicles.corrections import strike_of_vehicle
from torqueaudit.workshop.vehicles.exchange import exchange_instrument
from torqueaudit.workshop.vehicles.gone import gone
from torqueaudit.workshop.vehicles.present import show_vehicle
from torqueaudit.workshop.vehicles.visits import arrive

YARDS = 200 if "TORQUEAUDIT_PROOF" in os.environ else 3
ACTS = 10
TWICE = """
2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
2031-04-02 10:05 tab-washer fitted washer 18 mm lot L-7 by P-2
2031-04-02 10:06 slack measured 37 mm by P-2
2031-04-02 10:20 handed over at 12010 km with stops: fetched at once by P-1
2031-05-02 10:00 job 2 opened final-drive on V-1 at 14000 km by P-2
2031-05-02 10:05 tab-washer fitted washer 18 mm lot L-9 by P-2
2031-05-02 10:06 slack measured 52 mm by P-2
2031-05-02 10:20 handed over at 14010 km with stops: fetched at once by P-1
2031-05-09 18:00 ridden to 14300 km by owner
"""


def life(workshop: Workshop, card: str = TWICE) -> LifeView:
    """The life of V-1 after a card."""
    play(workshop, card)
    return life_of(workshop, "V-1")


def parts(view: LifeView, key: str) -> list[PartOn]:
    """What was fitted under a key, the one that is on first."""
    return [each for each in view.parts if each.key == key]


def where(stretches: tuple[Stretch, ...]) -> list[tuple[str, str]]:
    """Each stretch with what was read and ridden in it."""
    return [(each.title, each.run) for each in stretches]


@pytest.mark.proof
@pytest.mark.parametrize("seed", range(YARDS))
def test_every_door_tells_the_one_present_truth(
    ready_made_book: Path, tmp_path: Path, installed_plugins: Plugins, seed: int
) -> None:
    """Life, vehicle's page, bench, JSON and every label say the same of each nut; nothing of the ledger is left out."""
    chance, clock = Random(f"life {seed}"), Clock("2031-06-10 08:00")
    book = Path(shutil.copy(ready_made_book, tmp_path / "yard.book"))
    with yard_of(book, clock, seed, installed_plugins) as workshop:
        yard = [History(workshop, clock, chance) for _ in range(2)]
        for _ in range(ACTS):
            for each in yard:
                each.act()
            clock.moment += timedelta(hours=chance.choice((1, 20, 70)))
        for each in yard:
            view, vehicle = life_of(workshop, each.vehicle), show_vehicle(workshop, each.vehicle)
            assert last_done(workshop, each.vehicle) == {
                now.present.fastener.position: now.present.fastener.entry for now in view.fasteners
            }
            assert list(fastener_lines(vehicle)) == [now.line for now in view.fasteners]
            assert dict(on_labels(workshop, each.vehicle)).items() <= dict(told(view)).items()
            written = [{**now, "open": None} for now in life_json(view)["fasteners"]]
            assert [{**now, "open": None} for now in vehicle_view_json(vehicle)["fasteners"]] == written
            assert sorted(entries_of(workshop, each.vehicle)) == sorted(
                entry for stretch in view.stretches for act in stretch.course for entry in act.entries
            )
            assert [one.until for one in view.stretches[:-1]] == [one.since for one in view.stretches[1:]]


def last_done(workshop: Workshop, vehicle: str) -> dict[str, int]:
    """The entry that turned or undid each fastener last, from the entries alone."""
    done: dict[str, tuple[str, int]] = {}
    for row in queries.jobs_of_vehicle(workshop.book, vehicle):
        entries = workshop.book.entries(f"job/{row.job}")
        struck = {each.said["entry"] for each in entries if each.what == "struck"}
        for each in entries:
            if each.what in ("tightened", "loosened") and not struck & {each.sequence, entries[0].sequence}:
                at = (each.happened_at, each.sequence)
                done[each.said["position"]] = max(at, done.get(each.said["position"], at))
    return {position: entry for position, (_, entry) in done.items()}


def on_labels(workshop: Workshop, vehicle: str) -> Iterator[tuple[str, tuple[str, str, bool]]]:
    """What the label of each job of which something is left says; one that was withdrawn says not to go by it."""
    view = show_vehicle(workshop, vehicle)
    for work in (each for each in view.works if not each.withdrawn):
        page = record_page(show_job(workshop, work.number), view)
        for line in page.fasteners:
            yield line.name, (line.figure, line.mark, line.undone)


def told(view: LifeView) -> Iterator[tuple[str, tuple[str, str, bool]]]:
    """What the life says of each fastener."""
    for now in view.fasteners:
        yield now.line.name, (now.line.figure, now.line.mark, now.line.undone)


def entries_of(workshop: Workshop, vehicle: str) -> Iterator[int]:
    """Every entry of a motorcycle and of its jobs."""
    jobs = (f"job/{row.job}" for row in queries.jobs_of_vehicle(workshop.book, vehicle))
    for subject in (f"vehicle/{vehicle}", *jobs):
        yield from (each.sequence for each in workshop.book.entries(subject))


def test_visits_and_rides_follow_each_other(workshop: Workshop) -> None:
    """From before the first visit to now, with what was read and how far it ran between."""
    assert where(life(workshop).stretches) == [
        ("Before its first visit", ""),
        ("In the workshop, 2031-04-02", "12000 km to 12010 km"),
        ("On the road, 2031-04-02 to 2031-05-02", "12010 km to 14000 km, ran 1990 km"),
        ("In the workshop, 2031-05-02", "14000 km to 14010 km"),
        ("On the road since 2031-05-02", "14010 km to 14300 km, ran 290 km"),
    ]


def test_what_is_gone_for_good_left_when_it_left(workshop: Workshop) -> None:
    """Nobody saw it after its last leaving; that it was sold was told weeks later."""
    play(workshop, "\n".join([*TWICE.strip().splitlines()[:4], "2031-06-20 08:00 clock"]))
    gone(workshop, "V-1", "sold abroad", Say("P-1", sure=True))

    assert [title for title, _ in where(life_of(workshop, "V-1").stretches)][1:] == [
        "In the workshop, 2031-04-02",
        "On the road, 2031-04-02 to 2031-06-20",
        "Gone for good since 2031-06-20",
    ]


def test_a_part_has_run_until_the_next_of_its_key(workshop: Workshop) -> None:
    """The one that is on has run to what was read last, whoever read it."""
    on, off = parts(life(workshop), "tab-washer")

    assert ("L-9", None, "300 km") == (on.lot, on.until, on.ran)
    assert ("L-7", "2", "2000 km") == (off.lot, off.replaced_by, off.ran)


def test_a_part_that_is_told_again_puts_right_what_was_told(workshop: Workshop) -> None:
    """The lot was misread: one washer is on, and none was taken off; as of then the wrong lot stands."""
    play(workshop, "\n".join(TWICE.strip().splitlines()[:2]))
    wrong = workshop.book.head().sequence
    play(workshop, "2031-04-02 10:12 job 1 tab-washer fitted washer 18 mm lot L-8 by P-2")
    told, then = (parts(each, "tab-washer") for each in (life_of(workshop, "V-1"), show_life(workshop, "V-1", wrong)))

    assert [("L-8", "")] == [(each.lot, each.replaced_by) for each in told]
    assert ["L-7"] == [each.lot for each in then]


def test_what_a_part_has_run_goes_on_across_another_odometer(workshop: Workshop) -> None:
    """2 000 km by the first one, and 150 by the second."""
    play(workshop, TWICE)
    told = Replaced(Instrument.KM, 14_300_000, 0)
    exchange_instrument(workshop, "V-1", told, Say("P-2"))
    play(workshop, "2031-05-20 18:00 job 2 ridden to 150 km by owner")
    on, _ = parts(life_of(workshop, "V-1"), "tab-washer")

    assert "450 km" == on.ran


def test_a_part_of_a_job_that_was_withdrawn_is_none(workshop: Workshop) -> None:
    """Its job stands on the line of time, struck; its part and its values nowhere."""
    view = life(workshop, "\n".join([*TWICE.strip().splitlines()[:3], "2031-04-02 10:10 line 1 struck: twice by P-1"]))
    struck = [each.struck for stretch in view.stretches for each in stretch.course if each.struck]

    assert ((), ()) == (view.parts, view.series)
    assert ["struck on 2031-04-02 10:10 by P-1: twice"] == struck


def test_values_are_drawn_over_the_distance_with_their_limits(workshop: Workshop) -> None:
    """Two values of one key, each with the limits of its job and how it was judged then."""
    (slack,) = [each for each in life(workshop).series if each.key == "slack"]

    assert [("37 mm", "12000 km", "1"), ("52 mm", "14000 km", "2")] == [
        (each.figure, each.at, each.job) for each in slack.taken
    ]
    assert slack.chart
    assert ((12000.0, 37.0), (14000.0, 52.0)) == slack.chart.points
    assert "distance in km" == slack.chart.x_name
    assert slack.taken[0].limits in slack.chart.says


def test_one_value_is_no_chart(workshop: Workshop) -> None:
    """It stands in its table."""
    (slack,) = life(workshop, "\n".join(TWICE.strip().splitlines()[:3])).series

    assert (1, None) == (len(slack.taken), slack.chart)


def test_what_is_told_of_the_motorcycle_itself_stands_on_the_line(workshop: Workshop) -> None:
    """That it was entered, came in, and had a nut undone, each with who said it."""
    card = """
    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:20 handed over at 12010 km with stops: fetched at once by P-1
    2031-04-03 10:00 V-1 rear-axle-nut reported loosened: tyre changed elsewhere by owner
    """
    view = life(workshop, card.replace("    ", ""))
    said = [(each.by, each.text) for stretch in view.stretches for each in stretch.course if not each.job]

    assert said == [
        ("P-1", "entered as bike-1, Kestrel 500, 2030"),
        ("owner", "rear axle nut was undone: tyre changed elsewhere"),
    ]
    assert ["undone"] == [now.line.figure for now in view.fasteners]


def test_each_act_is_told_with_its_reason(workshop: Workshop) -> None:
    """Why a nut was undone, why a mark was not seen, why it left with stops, what the owner said."""
    card = """
    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:06 rear-axle-nut mark not seen: under the cover by P-2
    2031-04-02 10:07 rear-axle-nut loosened: wheel out again by P-2
    2031-04-02 10:20 handed over at 12010 km with stops: fetched at once by P-1
    2031-04-03 10:00 ridden to 12050 km: it pulls evenly by owner
    """
    view = life(workshop, card.replace("    ", ""))
    said = [each.text for stretch in view.stretches for each in stretch.course if each.job][2:]

    assert said[:2] == ["rear axle nut: mark not seen: under the cover", "rear axle nut: loosened: wheel out again"]
    assert said[2].endswith(": it left with stops standing, fetched at once")
    assert said[3] == "ridden to 12050 km: it pulls evenly"


def test_every_kind_of_entry_of_a_motorcycle_has_its_words() -> None:
    """Whoever adds one says in which words it stands on the line of time."""
    assert {kind.partition(".")[0] for kind in KINDS} - {STRUCK} == SAID.keys()


def test_what_is_open_on_a_fastener_stands_with_it(workshop: Workshop) -> None:
    """Each stop on it; another fastener's stands with that one."""
    opened = "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2"
    (nut,) = life(workshop, f"{opened}\n2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2").fasteners

    assert not nut.present.signed
    assert any("not marked" in each for each in nut.open), nut.open


def test_the_life_as_of_an_entry_ends_there(workshop: Workshop) -> None:
    """The first visit alone, and the washer that was on then; as of the last entry it is the life of now."""
    play(workshop, TWICE)
    now = show_life(workshop, "V-1")
    left = next(each.sequence for each in workshop.book.entries("job/1") if each.what == "handed_over")
    then = show_life(workshop, "V-1", left)

    assert where(then.stretches)[-1] == ("On the road since 2031-04-02", "12010 km")
    assert ["L-7"] == [each.lot for each in parts(then, "tab-washer")]
    assert now.stretches == show_life(workshop, "V-1", now.entry).stretches
    assert now.parts == show_life(workshop, "V-1", now.entry).parts


def test_what_was_struck_later_says_so_in_a_life_of_the_past(workshop: Workshop) -> None:
    """An arrival that was false, and a part of another job; then both stood."""
    play(workshop, TWICE)
    arrive(workshop, "V-1", 14_400_000, Say("P-2"))
    came = workshop.book.head().sequence
    fitted = next(each.sequence for each in workshop.book.entries("job/2") if each.what == "fitted")
    strike_of_vehicle(workshop, "V-1", came, "it was V-2", Say("P-1"))
    strike(workshop, "2", fitted, "on the other one", Say("P-1"))
    then, now = show_life(workshop, "V-1", came), life_of(workshop, "V-1")
    struck = [
        (each.entries, each.struck.partition(": ")[2])
        for stretch in then.stretches
        for each in stretch.course
        if each.struck
    ]

    assert [((fitted,), "on the other one"), ((came,), "it was V-2")] == struck
    assert (True, False) == (then.stretches[-1].here, now.stretches[-1].here)
    assert (["L-9", "L-7"], ["L-7"]) == tuple([each.lot for each in parts(v, "tab-washer")] for v in (then, now))


def test_values_and_parts_as_json_have_these_keys(workshop: Workshop) -> None:
    """Whoever reads them breaks where one is renamed."""
    written = life_json(life(workshop))
    (slack,) = [each for each in written["measured"] if each["key"] == "slack"]

    assert ["key", "name", "unit", "taken"] == list(slack)
    assert ["job", "entry", "by", "when", "value", "says", "limits", "verdict", "at", "late"] == list(slack["taken"][0])
    assert [
        "key",
        "name",
        "part",
        "lot",
        "new",
        "attributes",
        "job",
        "entry",
        "since",
        "at",
        "until",
        "replaced_by",
        "ran",
    ] == list(written["parts"][0])


def test_the_sheet_says_each_thing_once(workshop: Workshop) -> None:
    """What stands now first, then values, parts and the line of time."""
    lines = list(lines_of(life(workshop)))
    titles = [line for line in lines if line and not line.startswith(" ") and line.endswith(":")]

    assert ["what stands on each fastener:", "what was measured:", "parts fitted:"] == titles
    assert [1, 1] == [sum(lot in line and "tab washer:" in line for line in lines) for lot in ("lot L-7", "lot L-9")]
