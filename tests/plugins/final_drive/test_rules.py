"""The rules of the final drive: each speaks when it has to, and is silent otherwise."""

from collections.abc import Callable

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.job.facts import Measured
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit_plugins.final_drive.kinds.parts import AGAINST, ALONG, closed_end_in

Enter = Callable[..., None]
OPENED = "2031-04-02 10:00 job {job} opened drive on V-1 at {km} km by P-2\n"
SOURCE = 'source = "manual"\npage = "1"\n'
FITS = "".join(
    f'[[work]]\nfit = "{key}"\nname = "{key.replace("-", " ")}"\npart = "{key}"\n'
    for key in ("rear-sprocket", "front-sprocket", "chain", "rivet-link")
)
FLARE = '[[work]]\nmeasure = "flare"\nname = "rivet flare"\nkind = "rivet flare"\nlimit = "6.1 … 6.4 mm"\n' + SOURCE
TABLE = """
[x.final_drive]
chain = "525"
front = 15
rear = 43
links = 112
centre_distance_mm = [645, 667]
adjuster_pitch_mm = 1.25
adjuster_end_mm = 40
alignment_base_mm = 250
"""
ROAD = TABLE + 'use = "road"\n'
REAR = "rear-sprocket fitted sprocket with teeth=43, size=525, material=steel"
FRONT = "front-sprocket fitted sprocket with teeth=15, size=525, material=steel"
CHAIN = "chain fitted chain with make and type=Millrace, size=525, links=112, seal=X-ring"
LINK = "rivet-link fitted link with make and type=Millrace, size=525, type=rivet, seal=X-ring"
SOUND = (REAR, FRONT, CHAIN, LINK)


def fitted(workshop: Workshop, *acts: str, job: int = 1, km: int = 12000, day: int = 2) -> str:
    """A job with these acts, a minute apart; its number."""
    lines = [f"2031-04-{day:02} 10:{minute:02} {act} by P-2" for minute, act in enumerate(acts, start=1)]
    opened = OPENED.replace("04-02", f"04-{day:02}").format(job=job, km=km)
    return play(workshop, opened + "\n".join(lines))


def other(act: str, **changed: str) -> tuple[str, ...]:
    """The sound set with one part written down otherwise."""
    pairs = ", ".join(f"{name.replace('_', ' ')}={value}" for name, value in changed.items())
    return tuple(
        f"{each.partition(' with ')[0]} with {pairs}" if each.startswith(f"{act} ") else each for each in SOUND
    )


OWN = [
    "final_drive/count-unreadable",
    "final_drive/count-absurd",
    "final_drive/count-not-as-stated",
    "final_drive/not-one-set",
    "final_drive/size-differs",
    "final_drive/sprocket-material",
    "final_drive/link-type",
    "final_drive/clip-direction",
    "final_drive/flare-not-asked",
    "final_drive/flare-before-link",
    "final_drive/link-differs",
    "final_drive/chain-length",
    "final_drive/links-differ",
    "final_drive/ratio-changed",
    "final_drive/same-tooth",
    "final_drive/axle-to-move",
    "final_drive/wear-hardly-true",
    "final_drive/wear-fell",
    "final_drive/tight-places",
    "final_drive/adjuster-travel",
    "final_drive/position-not-first",
    "final_drive/cause-not-found",
    "final_drive/looks-left",
    "final_drive/always-look",
]


def said(workshop: Workshop, job: str = "1") -> list[tuple[str, str]]:
    """What the rules of the plugin say."""
    found = [each.finding for each in show_job(workshop, job).findings]
    return [(each.rule, each.weight.value) for each in found if each.rule in OWN]


def test_a_set_that_fits_is_silent(workshop: Workshop, enter: Enter) -> None:
    enter(FITS + FLARE + ROAD)
    fitted(workshop, *SOUND, "flare measured rivet 6.2 mm, rivet 6.3 mm")

    assert [] == said(workshop)


def test_a_procedure_without_its_table_is_not_concerned(workshop: Workshop, enter: Enter) -> None:
    """Whatever is written down."""
    enter(FITS)
    fitted(workshop, *other("chain", size="428", links="7"))

    assert [] == said(workshop)


SIZE_530 = (
    "rear sprocket: size 530, and the chain is 525: the pitch is the same and the width is not. Fit one size on chain, "
    "link and both sprockets."
)
SIZE_428 = (
    "rear sprocket: size 428, and the chain is 525: they do not run on each other. Fit one size on chain, link and "
    "both sprockets."
)


@pytest.mark.parametrize(
    ("acts", "rule", "says"),
    [
        (other("rear-sprocket", teeth="43", size="530"), "final_drive/size-differs", SIZE_530),
        (other("rear-sprocket", teeth="43", size="428"), "final_drive/size-differs", SIZE_428),
        (
            other("chain", size="530 XW", links="112"),
            "final_drive/size-differs",
            "chain: size 530, and the source asks for 525. Fit what the source asks for.",
        ),
        (
            other("front-sprocket", teeth="seventeen"),
            "final_drive/count-unreadable",
            "front sprocket: “seventeen” is no number of teeth, so nothing was worked out. Count, and record it again.",
        ),
        (
            tuple(each.replace("front-sprocket fitted", "front-sprocket fitted used") for each in SOUND),
            "final_drive/not-one-set",
            (
                "chain and sprockets: the front sprocket is not new, and the rest of the set is. Worn parts soon wear "
                "new ones: fit all three new (common practice, no source)."
            ),
        ),
        (
            other("rear-sprocket", teeth="43", material="Aluminium 7075"),
            "final_drive/sprocket-material",
            (
                "rear sprocket: aluminium wears soon on the road (common practice, no source). Fit steel, or look at "
                "its teeth each time the chain is oiled."
            ),
        ),
        (
            other("chain", links="113"),
            "final_drive/chain-length",
            (
                "chain: a chain of 113 links cannot be closed: inner and outer links take turns, so the number is "
                "even; take 112 or 114."
            ),
        ),
        (
            other("chain", links="40", why="a model's"),
            "final_drive/chain-length",
            "chain: a chain of 40 links is too short to close around 15 and 43 teeth: it takes more than 49.7.",
        ),
        (
            other("chain", links="40"),
            "final_drive/count-absurd",
            (
                "chain: 40 links where the source states 112 is hardly true. Count, and record it again; if it is "
                "meant, with “why”."
            ),
        ),
        (
            other("front-sprocket", teeth="1"),
            "final_drive/count-absurd",
            "front sprocket: 1 tooth where the source states 15 is hardly true. Count, and record it again.",
        ),
        (
            other("chain", links="110"),
            "final_drive/chain-length",
            (
                "chain: 110 links around 15 and 43 teeth are taut at 639.0 mm, and the adjusters begin at 645 mm: it "
                "is too short. Fit 112 links."
            ),
        ),
        (
            other("chain", links="114"),
            "final_drive/chain-length",
            (
                "chain: 114 links around 15 and 43 teeth are taut at 671.0 mm, and the adjusters end at 667 mm: it is "
                "too long. Fit 112 links."
            ),
        ),
        (
            other("chain", links="114"),
            "final_drive/count-not-as-stated",
            (
                "chain: 114 links, and the source states 112. Lay it beside the old one and count both; if it is "
                "meant, record it with “why”."
            ),
        ),
        (
            other("rear-sprocket", teeth="50", why="hills"),
            "final_drive/count-not-as-stated",
            "rear sprocket: 50 teeth, and the source states 43. Why was told: hills.",
        ),
        (
            other("rear-sprocket", teeth="46"),
            "final_drive/ratio-changed",
            (
                "sprockets: 46/15 teeth in place of 43/15, a ratio 7.0 % higher. A speed taken at the gearbox reads "
                "7.0 % higher than before, one taken at a wheel as before. Have the reading put right, and ask whether "
                "the vehicle's papers allow it."
            ),
        ),
        (
            other("rear-sprocket", teeth="42"),
            "final_drive/same-tooth",
            (
                "rear sprocket: with 42 teeth and 112 links the same tooth meets the same link every 8 turns; without "
                "a common divisor it would be 112, and wear more even (common practice, no source)."
            ),
        ),
        (
            other("rivet-link", make_and_type="Grist", type="rivet"),
            "final_drive/link-differs",
            "rivet link: make and type Grist, and the chain has Millrace. Fit the link that was made for this chain.",
        ),
        (
            other("rivet-link", type="rivet", seal="O-ring"),
            "final_drive/link-differs",
            "rivet link: seal O-ring, and the chain has X-ring. Fit the link that was made for this chain.",
        ),
    ],
)
def test_what_does_not_fit_is_said(
    workshop: Workshop, enter: Enter, acts: tuple[str, ...], rule: str, says: str
) -> None:
    """A sentence a mechanic can act on; lengths recomputed by the command `chain length`."""
    enter(FITS + FLARE + ROAD)
    fitted(workshop, *acts)

    assert [says] == findings(workshop, rule=rule)


STOPS = {
    "final_drive/count-absurd",
    "final_drive/size-differs",
    "final_drive/chain-length",
    "final_drive/link-type",
    "final_drive/clip-direction",
    "final_drive/flare-before-link",
}


def test_only_what_cannot_run_stops(workshop: Workshop, enter: Enter) -> None:
    """What the trade advises is a caution, what only tells a note."""
    enter(FITS + FLARE + ROAD + 'link = "rivet"\n')
    fitted(workshop, "flare measured rivet 6.2 mm, rivet 6.3 mm", *other("chain", size="530", links="108"))
    weights = dict(said(workshop))

    assert STOPS & weights.keys() == {rule for rule, weight in weights.items() if weight == "stop"}
    assert {"final_drive/size-differs", "final_drive/chain-length", "final_drive/flare-before-link"} <= weights.keys()


def test_a_half_fitted_set_is_not_judged_yet(workshop: Workshop, enter: Enter) -> None:
    """The ratio of a new rear and an old front sprocket is nobody's plan."""
    enter(FITS + FLARE + ROAD)
    fitted(workshop, *other("rear-sprocket", teeth="45")[:1])

    assert [("final_drive/count-not-as-stated", "caution")] == said(workshop)


def fresh(workshop: Workshop, act: str) -> list[str]:
    """The rules of this plugin that the reply to one more act tells, as the command line chooses them."""
    before = workshop.book.head().sequence
    play(workshop, f"2031-04-02 10:40 job 1 {act} by P-2")
    found = [each.finding for each in show_job(workshop, "1").findings]
    return [each.rule for each in found if each.rule in OWN and each.entry > before]


@pytest.mark.parametrize("last", [0, 1, 2])
def test_what_parts_make_together_is_said_with_the_last_of_them(workshop: Workshop, enter: Enter, last: int) -> None:
    """Whichever of chain and sprockets that is: too short a chain, a set that is not one, a size that does not fit."""
    enter(FITS + FLARE + ROAD)
    acts = [*other("chain", links="110", size="530")[:3]]
    acts[1] = acts[1].replace("fitted", "fitted used")
    fitted(workshop, *(act for number, act in enumerate(acts) if number != last))

    told = fresh(workshop, acts[last])

    assert {"final_drive/chain-length", "final_drive/not-one-set"} <= set(told)


def test_an_absurd_count_is_no_ratio(workshop: Workshop, enter: Enter) -> None:
    """One tooth in front is a mistake of typing, said at once and instead of what would follow from it."""
    enter(FITS + FLARE + ROAD)
    fitted(workshop, *other("front-sprocket", teeth="1"), "flare measured rivet 6.2 mm, rivet 6.3 mm")

    assert [("final_drive/count-absurd", "stop")] == said(workshop)


def test_a_used_set_is_a_caution_once_all_of_it_is_on(workshop: Workshop, enter: Enter) -> None:
    """Used with used is one set, if it is not worn."""
    enter(FITS + FLARE + ROAD)
    used = [act.replace("fitted", "fitted used") for act in SOUND]
    fitted(workshop, *used[:2])
    before = findings(workshop, rule="final_drive/not-one-set")

    assert (["final_drive/not-one-set"], []) == (
        [each for each in fresh(workshop, used[2]) if each == "final_drive/not-one-set"],
        before,
    )
    assert findings(workshop, rule="final_drive/not-one-set", weight="caution")[0].startswith(
        "chain and sprockets: nothing of them is new. Measure the chain's wear and look at the teeth"
    )


def test_a_procedure_that_fits_the_chain_alone_is_not_a_set(workshop: Workshop, enter: Enter) -> None:
    enter('[[work]]\nfit = "chain"\nname = "chain"\npart = "chain"\n' + TABLE)
    fitted(workshop, CHAIN)

    assert [
        (
            "chain and sprockets: the front sprocket and rear sprocket are not new, and the rest of the set is. Worn "
            "parts soon wear new ones: fit all three new (common practice, no source)."
        )
    ] == findings(workshop, rule="final_drive/not-one-set")


def test_the_ratio_is_held_against_the_set_that_was_on(workshop: Workshop, enter: Enter) -> None:
    """An earlier job fitted 16/45 and 114 links; going back to the source's own is a change too."""
    enter(FITS + FLARE + TABLE.replace("[645, 667]", "[600, 700]"))
    before = tuple(
        each.replace("teeth=15", "teeth=16").replace("teeth=43", "teeth=45").replace("links=112", "links=114")
        for each in SOUND
    )
    fitted(workshop, *before)
    fitted(workshop, *SOUND, job=2, day=3)
    again = fitted(workshop, *SOUND, job=3, day=4)

    assert ["sprockets: 43/15 teeth in place of 45/16, a ratio 1.9 % higher"] == [
        each.partition(". ")[0] for each in findings(workshop, "2", rule="final_drive/ratio-changed")
    ]
    assert ["chain: 112 links in place of 114. Lay it beside the old one and count both."] == findings(
        workshop, "2", rule="final_drive/links-differ"
    )
    assert [] == [
        rule for rule, _ in said(workshop, again) if rule in {"final_drive/ratio-changed", "final_drive/links-differ"}
    ]


def test_aluminium_is_for_competition(workshop: Workshop, enter: Enter) -> None:
    enter(FITS + FLARE + TABLE + 'use = "competition"\n')
    fitted(workshop, *other("rear-sprocket", teeth="43", material="aluminium"))

    assert [] == findings(workshop, rule="final_drive/sprocket-material")


@pytest.mark.parametrize(
    ("closed_end", "says"),
    [
        (
            "",
            (
                "rivet link: nobody wrote down which way its clip faces. The closed end of its clip has to face the "
                "way the chain travels, forward on the upper run: look, and record its “closed end”."
            ),
        ),
        (
            "back",
            (
                "rivet link: closed end “back” does not say which way, or on which run. The closed end of its clip has "
                "to face the way the chain travels, forward on the upper run: look, and record “way of travel”."
            ),
        ),
        (
            "back on the upper run",
            (
                "rivet link: closed end “back on the upper run” was written. The closed end of its clip has to face "
                "the way the chain travels, forward on the upper run: turn it, and record “way of travel”."
            ),
        ),
        ("way of travel", ""),
    ],
)
def test_the_closed_end_of_a_clip_faces_the_way_of_travel(
    workshop: Workshop, enter: Enter, closed_end: str, says: str
) -> None:
    enter(FITS + TABLE)
    told = {"closed_end": closed_end} if closed_end else {}
    fitted(workshop, *other("rivet-link", type="clip", **told))

    assert [says] * bool(says) == findings(workshop, rule="final_drive/clip-direction", weight="stop")
    assert [] == findings(workshop, rule="final_drive/flare-not-asked")


@pytest.mark.parametrize(
    ("words", "way"),
    [
        ("forward", ALONG),
        ("in the direction of travel", ALONG),
        ("towards travel", ALONG),
        ("forwards on the upper run", ALONG),
        ("to the rear on the lower run", ALONG),
        ("leading", ALONG),
        ("towards the front sprocket", ALONG),
        ("against the direction of travel", AGAINST),
        ("forward on the lower run", AGAINST),
        ("rearward on the top run", AGAINST),
        ("trailing", AGAINST),
        ("back", ""),
        ("yes", ""),
        ("back on the upper run, in the direction of travel", ""),
    ],
)
def test_the_words_of_older_records_for_a_clip(words: str, way: str) -> None:
    """The upper run travels forward, the lower one back; what contradicts itself says nothing."""
    assert way == closed_end_in(words)


def test_a_clip_where_the_source_asks_for_rivets_stops(workshop: Workshop, enter: Enter) -> None:
    enter(FITS + TABLE + 'link = "rivet"\n')
    fitted(workshop, *other("rivet-link", type="clip", closed_end="way of travel"))

    assert ["rivet link: a clip link, and the source asks for a rivet link. Fit that."] == findings(
        workshop, rule="final_drive/link-type", weight="stop"
    )


def test_rivets_are_measured_after_they_were_flared(workshop: Workshop, enter: Enter) -> None:
    """Another link, another flare."""
    enter(FITS + FLARE + TABLE)
    fitted(workshop, *SOUND, "flare measured rivet 6.2 mm, rivet 6.3 mm", f"{LINK}, again")

    assert ["rivet flare: measured before this rivet link was fitted. Measure both rivets again."] == findings(
        workshop, rule="final_drive/flare-before-link"
    )


@pytest.mark.parametrize(
    ("flare", "says"),
    [
        (
            "rivet 6.25 mm, rivet 6.0 mm",
            (
                "rivet 2 6 mm is flared too little (6.1 … 6.4 mm is specified): press on a little at a time and "
                "measure both again."
            ),
        ),
        (
            "rivet 6.5 mm at left, rivet 6.25 mm",
            "left 6.5 mm is over-flared and cracks (6.1 … 6.4 mm is specified): fit a new link.",
        ),
        (
            "rivet 6.45 mm, rivet 5.8 mm",
            (
                "rivet 2 5.8 mm is flared too little, rivet 1 6.45 mm is over-flared and cracks (6.1 … 6.4 mm is "
                "specified): fit a new link."
            ),
        ),
    ],
)
def test_a_flare_outside_its_limits_says_what_to_do(workshop: Workshop, enter: Enter, flare: str, says: str) -> None:
    """Both rivets where both are outside, the worst first; no pressing mends one that cracks."""
    enter(FITS + FLARE + TABLE)
    fitted(workshop, *SOUND, f"flare measured {flare}")

    assert [f"rivet flare: {says}"] == findings(workshop, rule="workshop_rules/measurement-outside", weight="stop")


def test_a_procedure_that_asks_for_no_flare_is_told(workshop: Workshop, enter: Enter) -> None:
    enter(FITS + TABLE)
    fitted(workshop, *SOUND)

    assert 1 == len(findings(workshop, rule="final_drive/flare-not-asked", weight="caution"))


def measured(key: str, kind: str, limits: str, conditions: str = "") -> str:
    condition = f"conditions = {conditions}\n" if conditions else ""
    source = SOURCE if "unit" not in limits else ""
    return f'[[work]]\nmeasure = "{key}"\nname = "{key}"\nkind = "{kind}"\n{limits}\n{condition}{source}'


POSITION = measured("position", "adjuster position", 'unit = "mm"')
WEAR = measured("wear", "chain wear", 'max = "0.8 %"')
SLACK = measured("slack", "chain slack", 'limit = "32 … 42 mm"')
ALIGNMENT = measured("alignment", "wheel alignment", 'max = "1 mm"', '{ end = "front" }')
ALL = POSITION + WEAR + SLACK + ALIGNMENT + TABLE
AGAIN = " Measure slack and alignment again, also after the axle nut has its torque."


def test_slack_outside_says_how_far_the_axle_goes(workshop: Workshop, enter: Enter) -> None:
    """Reference section 9: 55 to 37 mm is 0.639543 mm; to 42 mm 0.487 and to 32 mm 0.773, from its other values."""
    enter(ALL)
    fitted(workshop, "slack measured 55 mm")

    assert [
        "slack: move the axle back by 0.64 mm on both sides (3.1 flats each), to the middle of 32 … 42 mm "
        "(0.49 to 0.77 mm reach its ends)." + AGAIN
    ] == findings(workshop, rule="final_drive/axle-to-move")


def test_slack_too_small_goes_forward(workshop: Workshop, enter: Enter) -> None:
    """From 22 to 37 mm."""
    enter(ALL)
    fitted(workshop, "slack measured 22 mm")

    assert findings(workshop, rule="final_drive/axle-to-move")[0].startswith(
        "slack: move the axle forward by 0.34 mm on both sides"
    )


def test_alignment_outside_says_which_side(workshop: Workshop, enter: Enter) -> None:
    """Read from the front end, the side that reads more stands further back."""
    enter(ALL)
    fitted(workshop, "alignment measured left 410 mm, right 412.5 mm")

    assert [
        "alignment: move right forward and left back by 1.25 mm each (1 turn each), which keeps the slack; or right "
        "alone forward by 2.5 mm (2 turns)." + AGAIN
    ] == findings(workshop, rule="final_drive/axle-to-move")


def test_turns_are_those_of_what_each_side_moves(workshop: Workshop, enter: Enter) -> None:
    """0.75 mm of 1.25 mm a turn are 3.6 of six flats."""
    enter(ALL)
    fitted(workshop, "alignment measured left 411.5 mm, right 410 mm")

    assert "by 0.75 mm each (3.6 flats each)" in findings(workshop, rule="final_drive/axle-to-move")[0]


def test_a_move_that_is_hardly_true_is_measured_again_first(workshop: Workshop, enter: Enter) -> None:
    """More than two turns of an adjuster, or 10 mm where its thread is not stated."""
    enter(ALL)
    fitted(workshop, "alignment measured left 410 mm, right 415 mm")
    turns = findings(workshop, rule="final_drive/axle-to-move")
    enter(ALIGNMENT + '[x.final_drive]\nchain = "525"\n')
    fitted(workshop, "alignment measured left 400 mm, right 411 mm", job=2, day=3)

    assert (
        "measure both sides again before you move any"
        in findings(workshop, rule="workshop_rules/measurement-outside")[0]
    )
    assert turns[0].startswith(
        "alignment: a move of more than 2 turns of an adjuster is hardly true: measure again first. If it is so"
    )
    assert findings(workshop, "2", rule="final_drive/axle-to-move")[0].startswith(
        "alignment: a move of more than 10 mm is hardly"
    )


def test_a_bar_tight_chain_needs_at_least_that(workshop: Workshop, enter: Enter) -> None:
    """It may be pulled past taut."""
    enter(ALL)
    fitted(workshop, "slack measured 0 mm")

    assert findings(workshop, rule="final_drive/axle-to-move")[0].startswith(
        "slack: move the axle forward by at least 0.53 mm"
    )


def test_what_another_job_turned_since_is_not_to_be_moved(workshop: Workshop, enter: Enter) -> None:
    """The axle stands elsewhere by then."""
    enter(ALL)
    fitted(workshop, "slack measured 57 mm")
    before = len(findings(workshop, rule="final_drive/axle-to-move"))
    play(workshop, "2031-04-03 10:00 job 2 opened axle on V-1 by P-2")
    play(workshop, "2031-04-03 10:05 job 2 rear-axle-nut loosened: wheel out by P-2")

    assert (1, []) == (before, findings(workshop, rule="final_drive/axle-to-move"))


def test_what_is_inside_moves_nothing(workshop: Workshop, enter: Enter) -> None:
    enter(ALL)
    fitted(workshop, "slack measured 37 mm", "alignment measured left 410 mm, right 410.5 mm")

    assert [] == said(workshop)


def test_teeth_and_links_that_nobody_states_move_nothing(workshop: Workshop, enter: Enter) -> None:
    """No number is made up."""
    enter(SLACK + '[x.final_drive]\nchain = "525"\n')
    fitted(workshop, "slack measured 57 mm")

    assert [] == said(workshop)


def test_a_worn_chain_is_not_tensioned_once_more(workshop: Workshop, enter: Enter) -> None:
    enter(ALL)
    fitted(
        workshop,
        "position measured left 30 mm, right 30 mm",
        "wear measured pins 19, length 288.6 mm",
        "slack measured 57 mm",
    )

    assert [
        (
            "wear: worn 0.997 %, the most is 0.8 %: replace chain and both sprockets (as a set: common practice, no "
            "source); do not tension it once more."
        ),
        (
            "slack: 57 mm, 32 … 42 mm is specified: move the axle and measure again; a chain worn past its limit is "
            "replaced, not set."
        ),
    ] == findings(workshop, rule="workshop_rules/measurement-outside", weight="stop")
    assert [] == findings(workshop, rule="final_drive/axle-to-move")


def wears(workshop: Workshop, *lengths: str, job: int = 1, day: int = 2) -> list[str]:
    """What is said of a wear that fell, after the chain was measured at these lengths over 19 pins."""
    fitted(
        workshop,
        "position measured left 30 mm, right 30 mm",
        *(f"wear measured pins 19, length {length}" for length in lengths),
        job=job,
        day=day,
    )
    return findings(workshop, str(job), rule="final_drive/wear-fell", weight="stop")


def test_a_smaller_wear_does_not_clear_the_limit_that_was_passed(workshop: Workshop, enter: Enter) -> None:
    """On the same job and on the next; a strike of the wrong value does, and so does another chain."""
    enter(FITS + ALL)

    assert [
        (
            "wear: 0.472 % now, but 1.17 %, past the limit of 0.8 %, was measured earlier on this job, and a chain "
            "does not get shorter. Count and measure again at the worst place; then have the wrong value struck, or "
            "record the chain that was fitted since."
        )
    ] == wears(workshop, "289.1 mm", "287.1 mm")
    assert "was measured on job 1," in wears(workshop, "287.1 mm", job=2, day=3)[0]

    play(workshop, "2031-04-03 10:30 job 2 slack measured 57 mm by P-2")
    assert [] == findings(workshop, "2", rule="final_drive/axle-to-move")

    high = next(each for each in workshop.record("1").of(Measured) if str(each.value).startswith("1.17"))
    strike(workshop, "1", high.noted.entry, "counted 20 pins", Say("P-1"))
    assert [] == findings(workshop, rule="final_drive/wear-fell")
    assert [] == findings(workshop, "2", rule="final_drive/wear-fell")


def test_another_chain_begins_anew(workshop: Workshop, enter: Enter) -> None:
    """Its wear is smaller, as it should be; and the old chain's contradiction went with it."""
    enter(FITS + ALL)
    before = wears(workshop, "289.1 mm", "287.1 mm")
    fitted(workshop, CHAIN, job=2, day=3)

    assert ([], 1) == (wears(workshop, "286.2 mm", job=3, day=4), len(before))
    assert [] == findings(workshop, rule="final_drive/wear-fell")


@pytest.mark.parametrize(
    ("first", "second", "speaks"),
    [
        ("287.6 mm", "287.4 mm", False),
        ("287.6 mm", "287.1 mm", True),
        ("287.6 mm ± 0.1 mm", "287.3 mm ± 0.1 mm", True),
        ("287.6 mm ± 0.5 mm", "287.1 mm ± 0.5 mm", False),
        ("287.1 mm", "287.6 mm", False),
    ],
)
def test_a_wear_that_fell_by_more_than_it_is_sure_to_is_a_caution(
    workshop: Workshop,
    enter: Enter,
    first: str,
    second: str,
    speaks: bool,  # noqa: FBT001  # a table's column
) -> None:
    """0.1 % is 0.29 mm over 18 pitches; where both uncertainties were told, the root of their squares."""
    enter(ALL)
    stops = wears(workshop, first, second)

    assert ([], speaks) == (stops, bool(findings(workshop, rule="final_drive/wear-fell", weight="caution")))


def test_more_wear_than_is_believed_is_a_caution(workshop: Workshop, enter: Enter) -> None:
    """Without a limit nothing else would ask for a second count."""
    enter(POSITION + measured("wear", "chain wear", 'unit = "%"') + TABLE)
    fitted(workshop, "position measured left 30 mm, right 30 mm", "wear measured pins 19, length 300.0375 mm")

    assert ["wear: 5 % is hardly true. Count the pins again, and measure again."] == findings(
        workshop, rule="final_drive/wear-hardly-true", weight="caution"
    )


def test_a_chain_tight_here_and_loose_there_is_a_caution(workshop: Workshop, enter: Enter) -> None:
    """More than the whole window apart."""
    enter(ALL)
    fitted(workshop, "slack measured slack 34 mm at link 1, slack 45 mm at link 60")

    assert 1 == len(findings(workshop, rule="final_drive/tight-places", weight="caution"))


def test_a_chain_evenly_slack_is_silent(workshop: Workshop, enter: Enter) -> None:
    enter(ALL)
    fitted(workshop, "slack measured slack 34 mm at link 1, slack 41 mm at link 60")

    assert [] == said(workshop)


@pytest.mark.parametrize(("stands", "speaks"), [("37.5", True), ("20", False)])
def test_adjusters_near_their_end_are_a_caution(
    workshop: Workshop,
    enter: Enter,
    stands: str,
    speaks: bool,  # noqa: FBT001  # a table's column
) -> None:
    """2.5 mm of 655 are 0.28 to 0.38 % more wear (2·cos β·T/(N·p) and T/C); 0.5 % more is allowed."""
    enter(ALL)
    fitted(workshop, f"position measured left {stands} mm, right 10 mm", "wear measured pins 19, length 286.6 mm")
    found = findings(workshop, rule="final_drive/adjuster-travel", weight="caution")

    assert speaks == bool(found)
    assert not found or found[0].startswith(
        "position: 2.5 mm of travel left, used up by about 0.3 to 0.4 % more wear (an estimate), and the chain may "
        "wear by 0.5 % more."
    )


def test_the_adjusters_are_read_before_the_chain_is_tensioned(workshop: Workshop, enter: Enter) -> None:
    enter(ALL)
    fitted(workshop, "wear measured pins 19, length 286.6 mm", "position measured left 20 mm, right 20 mm")

    assert 1 == len(findings(workshop, rule="final_drive/position-not-first", weight="caution"))


def look(key: str, required: str = "false") -> str:
    name = key.replace("-", " ")
    return f'[[work]]\nstep = "{key}"\nname = "{name}"\nsays = "See."\nlook = true\nrequired = {required}\n'


SEARCH = (
    look("turn-by-hand") + look("chain-look") + look("axle-look") + look("gearbox-look")
) + '[x.final_drive]\nchain = "525"\nalways_look = ["axle-look"]\n'


def test_until_a_cause_is_found_the_cheapest_look_is_next(workshop: Workshop, enter: Enter) -> None:
    enter(SEARCH)
    fitted(workshop, "turn-by-hand yes")

    assert ["no cause found yet. The cheapest look that is left: chain look. See."] == findings(
        workshop, rule="final_drive/cause-not-found", weight="stop"
    )


def test_the_complaint_is_no_cause(workshop: Workshop, enter: Enter) -> None:
    """What was felt has a cause; the next look is the cheapest, a measurement among them."""
    enter(SLACK + SEARCH.replace("always_look", 'complaint = ["turn-by-hand"]\nalways_look'))
    fitted(workshop, "turn-by-hand yes")
    assert "final_drive/cause-not-found" in fresh(workshop, "turn-by-hand no: heavy at one place")
    felt = findings(workshop, rule="final_drive/cause-not-found", weight="stop")
    play(workshop, "2031-04-02 10:30 job 1 slack measured 37 mm by P-2")
    looked = findings(workshop, rule="final_drive/cause-not-found", weight="stop")
    play(workshop, "2031-04-02 10:31 job 1 chain-look no: stiff link by P-2")

    begins = "the complaint shows (turn by hand), but no cause found yet. The cheapest look that is left: "
    assert ([f"{begins}slack."], [f"{begins}chain look. See."]) == (felt, looked)
    assert ["found: chain look. Not looked at: gearbox look. Another cause may hide there."] == findings(
        workshop, rule="final_drive/looks-left"
    )


def test_a_cause_found_stops_until_what_holds_the_wheel_was_looked_at(workshop: Workshop, enter: Enter) -> None:
    """And says what else nobody looked at."""
    enter(SEARCH)
    fitted(workshop, "turn-by-hand yes", "chain-look no: two stiff links")

    assert ["axle look: not looked at. A cause was found (chain look), but this is always looked at. See."] == findings(
        workshop, rule="final_drive/always-look", weight="stop"
    )
    assert ["found: chain look. Not looked at: gearbox look. Another cause may hide there."] == findings(
        workshop, rule="final_drive/looks-left", weight="note"
    )

    play(workshop, "2031-04-02 10:20 job 1 axle-look not applicable by P-2")
    assert ["axle look: called not applicable, but it is looked at whatever the cause. See."] == findings(
        workshop, rule="final_drive/always-look", weight="stop"
    )

    play(workshop, "2031-04-02 10:21 job 1 axle-look yes by P-2\n2031-04-02 10:22 gearbox-look yes by P-2")
    assert [] == said(workshop)


def test_a_cause_that_was_put_right_at_once_is_one_all_the_same(workshop: Workshop, enter: Enter) -> None:
    enter(SEARCH)
    fitted(workshop, "turn-by-hand yes", "chain-look no: bent links", "chain-look yes: waxed", "axle-look yes")

    assert [("final_drive/looks-left", "note")] == said(workshop)


def test_all_in_order_finds_no_cause(workshop: Workshop, enter: Enter) -> None:
    enter(SEARCH)
    fitted(workshop, *(f"{key} yes" for key in ("turn-by-hand", "chain-look", "axle-look", "gearbox-look")))

    assert [("final_drive/cause-not-found", "caution")] == said(workshop)


def test_the_rules_of_a_table_entered_without_the_plugin_break_nothing(workshop: Workshop, enter: Enter) -> None:
    """Values of any kind, as an old book may hold them, were refused on entry; a job without them is silent."""
    enter(FITS + '[x.final_drive]\nuse = "road"\n')
    fitted(workshop, *SOUND)

    assert ["final_drive/flare-not-asked"] == [rule for rule, _ in said(workshop)]
    assert [] == findings(workshop, rule="core/plugin-broken")
