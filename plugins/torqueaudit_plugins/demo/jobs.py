"""The jobs of the story: who did what how long ago, and what went otherwise than it should.

Every card is a template (folder `cards`: days after its start, time, act) and what this job changes in it.
"""

from collections.abc import Mapping
from datetime import date, timedelta
from importlib import resources
from typing import NamedTuple

BEGINS = 100  # days before the day that the weeks lead up to


class Hands(NamedTuple):
    """Who works and who looks a second time."""

    m: str
    c: str


BERTRAM = Hands("P-2", "P-3")
CLEMENTINE = Hands("P-3", "P-1")
TRAINEE = Hands("P-4", "P-3")

NOBODY_LOOKED: Mapping[str, tuple[str, ...]] = {
    "rear-axle-nut checked": (),
    "released": (),
    "handed over": ("1 17:45 handed over at 7214 km with stops: fetched before a second person looked by P-2",),
}
PERMITTED = (
    "1 08:40 conceded no-wrench-fits on chain adjuster lock nut, left until {until}: "
    "turned by a spanner as far as the right one, to be looked at after 100 km by P-1"
)
NO_WRENCH_FITS: Mapping[str, tuple[str, ...]] = {
    "adjuster-lock-left 16": ("0 14:50 adjuster-lock-left no torque wrench fits by {m}",),
    "released": (PERMITTED, "1 09:00 released by P-1"),
}
MARK_TURNED: Mapping[str, tuple[str, ...]] = {
    "rear-axle-nut mark": ("0 09:08 rear-axle-nut mark disturbed: line 4 mm apart by {m}",),
    "re-checked": (),
    "handed over": ("0 09:40 handed over at {back} km with stops: its owner would not leave it here by {m}",),
}
HOOKED: Mapping[str, tuple[str, ...]] = {
    "chain-look no": (
        "0 09:15 chain-look yes: waxed by {m}",
        "0 09:25 front-sprocket-look no: five teeth hooked, two of them thin by {m}",
    ),
    "chain-look yes": (),
    "released": (),
    "handed over": (),
}
WRONG_UNIT: Mapping[str, tuple[str, ...]] = {
    "rear-axle-nut 80": (
        "0 10:40 rear-axle-nut 108 lbf·ft with W-1 by {m}",
        "0 10:41 line 5 struck: the wrench stood at 108 N·m, written as lbf·ft by {m}",
        "0 10:40 rear-axle-nut 108 N·m with W-1 by {m}",
    ),
}


def story(today: date) -> list[str]:
    """The cards of all jobs, in the order they were opened. The last act is on the evening before `today`."""

    def ago(days: int) -> date:
        return today - timedelta(days=days)

    return [
        *worn_out(1, ago(96)),
        clean(6, ago(33)),
        disturbed(7, ago(31)),
        never_rechecked(8, ago(26)),
        undone_later(9, ago(15)),
        card("front-wheel-begun", ago(11), TRAINEE, job=10, vehicle="V-8", km=31_400),
        card("final-drive", ago(9), BERTRAM, NOBODY_LOOKED, job=11, vehicle="V-5", km=7_210, left=7_214),
        card("rear-wheel", ago(5), CLEMENTINE, WRONG_UNIT, job=12, vehicle="V-7", km=15_020, left=15_020),
        card("rear-wheel", ago(3), BERTRAM, job=13, vehicle="V-6", km=22_391, left=22_391),
        permitted(14, ago(2), until=today + timedelta(days=50)),
    ]


def worn_out(job: int, start: date) -> list[str]:
    """A drive that jerks four times: three times by stiff links, then by hooked teeth. Then the job that follows."""
    measured = (
        (0, 14_020, 22, "286.7", "286.8", "286.7"),
        (21, 16_510, 23, "286.9", "287.1", "287.0"),
        (42, 18_980, 25, "287.2", "287.4", "287.3"),
        (57, 21_030, 27, "287.5", "287.8", "287.6"),
    )
    searches = [
        card(
            "drive-jerks",
            start + timedelta(days=days),
            CLEMENTINE,
            HOOKED if days == measured[-1][0] else None,
            job=job + number,
            vehicle="V-9",
            km=km,
            adjuster=adjuster,
            arm=400 + adjuster,
            near=near,
            worst=worst,
            far=far,
        )
        for number, (days, km, adjuster, near, worst, far) in enumerate(measured)
    ]
    return [*searches, fitted_after(job + len(measured), start + timedelta(days=58))]


def fitted_after(job: int, start: date) -> str:
    """Chain and both sprockets fitted on the job that follows the search; ridden, and looked at again."""
    after: Mapping[str, tuple[str, ...]] = {
        "job": ("0 08:30 job {job} opened final-drive on V-9 at 21030 km after job {before} by {m}",),
        "released": ("1 09:00 released by P-1", "1 09:05 job {before} released by P-1"),
        "handed over": (
            "1 10:00 job {job} handed over at 21032 km by P-1",
            "1 10:01 job {before} handed over at 21032 km by P-1",
            "3 19:00 job {job} ridden to 21118 km: pulls evenly by owner",
        ),
    }
    done = card("final-drive", start, BERTRAM, after, job=job, before=job - 1)
    return f"{done}\n{card('final-drive-recheck', start + timedelta(days=5), CLEMENTINE, back=21_131)}"


def clean(job: int, start: date) -> str:
    """Released, handed over, ridden, looked at again."""
    done = card("final-drive", start, BERTRAM, job=job, vehicle="V-1", km=18_236, left=18_240)
    ridden = dated("6 18:10 ridden to 18310 km: pulls evenly by owner", start)
    seen = card("final-drive-recheck", start + timedelta(days=11), CLEMENTINE, back=18_335)
    return f"{done}\n{ridden}\n{seen}"


def disturbed(job: int, start: date) -> str:
    """At the re-check the line on the axle nut is no longer one line."""
    done = card("final-drive", start, TRAINEE, job=job, vehicle="V-2", km=40_111, left=40_115)
    seen = card("final-drive-recheck", start + timedelta(days=14), CLEMENTINE, MARK_TURNED, back=40_229)
    return f"{done}\n{seen}"


def never_rechecked(job: int, start: date) -> str:
    """Ridden well past its re-check, and nobody has looked."""
    done = card("final-drive", start, CLEMENTINE, job=job, vehicle="V-3", km=12_004, left=12_010)
    return f"{done}\n{dated('19 19:00 ridden to 12320 km by owner', start)}"


def undone_later(job: int, start: date) -> str:
    """All in order; twelve days later another job takes the wheel out."""
    return card("final-drive", start, BERTRAM, job=job, vehicle="V-6", km=22_298, left=22_301)


def permitted(job: int, start: date, until: date) -> str:
    """One lock nut that no torque wrench reaches, under the foreman's concession."""
    told: dict[str, str | int] = {"vehicle": "V-4", "km": 9_902, "left": 9_905, "until": until.isoformat()}
    return card("final-drive", start, CLEMENTINE, NO_WRENCH_FITS, job=job, **told)


def card(
    template: str,
    start: date,
    hands: Hands,
    otherwise: Mapping[str, tuple[str, ...]] | None = None,
    **words: str | int,
) -> str:
    """A card from its template: a line whose act begins with a key of `otherwise` gives way to what stands there."""
    text = (resources.files(__package__) / "cards" / f"{template}.txt").read_text(encoding="utf-8")
    lines = [new for line in text.splitlines() for new in _instead(line, otherwise or {})]
    return "\n".join(dated(line.format(**hands._asdict(), **words), start) for line in lines)


def _instead(line: str, otherwise: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    act = line.split(" ", 2)[2]
    return next((lines for begins, lines in otherwise.items() if act.startswith(begins)), (line,))


def dated(line: str, start: date) -> str:
    """A line whose first word is the number of days after `start`, with that day in its place."""
    days, _, rest = line.partition(" ")
    return f"{start + timedelta(days=int(days))} {rest}"
