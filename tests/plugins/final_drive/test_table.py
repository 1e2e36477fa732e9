"""The table `[x.final_drive]`: what it may state, every mistake with its line, and the examples."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening
from torqueaudit.model.procedure.procedure import Step
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.procedures import enter_procedure
from torqueaudit_plugins.final_drive.table.content import stated_in

Enter = Callable[..., None]
EXAMPLES = Path(__file__).parents[3] / "examples" / "procedures"
FIT = '[[work]]\nfit = "chain"\nname = "chain"\npart = "chain"\n'
LOOK = '[[work]]\nstep = "axle-look"\nname = "axle"\nsays = "See."\nlook = true\n'
WEAR = '[[work]]\nmeasure = "wear"\nname = "chain wear"\nkind = "chain wear"\n'
PRINTED = WEAR + 'max = "288.0 mm"\nsource = "manual"\npage = "1"\n'
BEGIN = "[x.final_drive]\n"
CARE = BEGIN + '[[x.final_drive.care]]\nwhat = "wax"\nadvice = "thin"\nsource = "leaflet"\n'


@pytest.mark.parametrize(
    "table",
    [
        'chain = "525"',
        "front = 15\nrear = 43",
        "pitch_mm = 14.5",
        'chain = "630"\npitch_mm = 19.05',
        'chain = "525"\nlinks = 112',
        "centre_distance_mm = [645, 667.5]",
        'use = "off-road"\nlink = "clip"',
        "adjuster_pitch_mm = 1.25\nadjuster_end_mm = 40\nalignment_base_mm = 250",
        'parts = { chain = "chain" }',
    ],
)
def test_every_key_may_stand_without_the_others(enter: Enter, table: str) -> None:
    """A job may not know them."""
    enter(FIT + BEGIN + table)


@pytest.mark.parametrize(
    ("text", "key", "says"),
    [
        (FIT + BEGIN, "", "says nothing; write what is known of the drive, or leave it out"),
        (
            FIT + BEGIN + 'chain = "521"',
            "chain",
            '"521" is no size known here (420, 428, 520, 525, 530); write pitch_mm',
        ),
        (FIT + BEGIN + 'chain = "525"\npitch_mm = 12.7', "pitch_mm", "is 12.7, but a 525 chain has 15.875"),
        (FIT + BEGIN + "pitch_mm = 500", "pitch_mm", "has to lie between 5 and 50"),
        (FIT + BEGIN + 'chain = "52O"', "chain", '"52O" has another sign where a digit belongs; write 520'),
        (
            FIT + BEGIN + 'chain = "52O"\npitch_mm = 15.875',
            "chain",
            "has another sign where a digit belongs; write 520",
        ),
        (FIT + BEGIN + "front = 5", "front", "has to be a whole number from 6 to 150"),
        (FIT + BEGIN + 'rear = "43"', "rear", "has to be a whole number from 6 to 150"),
        (FIT + BEGIN + "links = 113", "links", "is 113; a chain closes only with an even number of links"),
        (FIT + BEGIN + "centre_distance_mm = [667, 645]", "centre_distance_mm", "has to be the least and the most"),
        (FIT + BEGIN + "centre_distance_mm = 655", "centre_distance_mm", "has to be the least and the most in mm"),
        (FIT + BEGIN + "adjuster_pitch_mm = 9", "adjuster_pitch_mm", "has to lie between 0.2 and 6"),
        (FIT + BEGIN + "alignment_base_mm = 5", "alignment_base_mm", "has to lie between 10 and 2000"),
        (FIT + BEGIN + 'use = "track"', "use", '"track" is not known; write road or off-road or competition'),
        (FIT + BEGIN + 'link = "glue"', "link", '"glue" is not known; write rivet or clip'),
        (FIT + BEGIN + "teeth = 15", "teeth", "is not known here; known are"),
        (
            FIT + BEGIN + 'parts = { chain = "chian" }',
            "parts.chain",
            '"chian" is no part of this procedure; did you mean',
        ),
        (FIT + BEGIN + 'parts = { wheel = "chain" }', "parts.wheel", "is not known here"),
        (
            FIT + BEGIN + 'chain = "525"\nfront = 15\nrear = 43\nlinks = 120\ncentre_distance_mm = [645, 667]',
            "links",
            "are 120, which are taut at 718.8 mm, outside of centre_distance_mm; 112 would fit",
        ),
        (
            FIT + BEGIN + 'chain = "525"\nfront = 15\nrear = 43\nlinks = 20',
            "links",
            "a chain of 20 links is too short to close around 15 and 43 teeth",
        ),
        (
            FIT + BEGIN + 'chain = "525"\nfront = 15\nrear = 43\ncentre_distance_mm = [100, 667]',
            "centre_distance_mm",
            "a centre distance of 100 mm is smaller than the sprockets",
        ),
        (PRINTED + BEGIN + "wear_pins = 19", "chain", "is missing; the chain wear needs the chain's size, or pitch_mm"),
        (
            PRINTED + BEGIN + 'chain = "525"',
            "wear_pins",
            "is missing; the limit of the chain wear is a length over so many",
        ),
        (
            PRINTED + BEGIN + 'chain = "525"\nwear_pins = 20',
            "wear_pins",
            "is 20; over so many pins a new chain has 301.625",
        ),
        (
            LOOK + BEGIN + 'always_look = ["axel-look"]',
            "always_look",
            '"axel-look" is no look of this procedure; did you mean',
        ),
        (
            FIT + CARE + 'every = "700 km"',
            "care",
            '"wax": none of its sources is followed; write follows = true at exactly',
        ),
        (FIT + CARE + "follows = true", "care 1", "says not when; write every"),
        (FIT + CARE + 'every = "often"\nfollows = true', "care 1.every", '"often" does not start with a number'),
        (
            FIT + CARE.replace('source = "leaflet"\n', "") + 'season = "sand"\nfollows = true',
            "care 1.source",
            "is missing",
        ),
        (
            FIT
            + (
                CARE + 'season = "sand"\nfollows = true\n' + CARE.removeprefix(BEGIN) + 'season = "mud"\nfollows = true'
            ),
            "care",
            '"wax": more than one source is followed',
        ),
    ],
)
def test_a_mistake_refuses_the_procedure_with_its_line(enter: Enter, text: str, key: str, says: str) -> None:
    with pytest.raises(Refused) as refused:
        enter(text)
    told = str(refused.value)

    assert says in told
    assert re.search(rf"drive\.toml:line \d+, (x\.final_drive\.?)?{re.escape(key)}: ", told), told


def test_values_entered_without_the_plugin_count_as_not_stated() -> None:
    """A book may hold a table that nobody looked at."""
    odd = {
        "chain": 525,
        "front": "15",
        "rear": True,
        "links": [112],
        "pitch_mm": "wide",
        "centre_distance_mm": ["667", "645"],
        "adjuster_pitch_mm": "-1.25",
        "always_look": "axle",
        "parts": ["chain"],
        "care": [{"what": 1, "follows": "yes"}, "wax"],
    }
    stated = stated_in({"final_drive": odd})

    assert (None, None, None, None, None, None, ()) == (
        stated.pitch_mm,
        stated.front,
        stated.rear,
        stated.links,
        stated.centre_mm,
        stated.adjuster_pitch_mm,
        stated.always_look,
    )
    assert [("", False)] == [(each.what, each.follows) for each in stated.care]
    assert stated_in({}) == stated_in({"final_drive": "none"})


def test_such_a_table_breaks_no_rule_and_no_panel(book_file: Path, tmp_path: Path, installed_plugins: Plugins) -> None:
    """Entered while the plugin was away."""
    path = tmp_path / "drive.toml"
    text = 'format = 1\nname = "drive"\ntitle = "Drive"\nedition = "1"\n' + FIT
    path.write_text(
        text + BEGIN + 'front = "many"\nlinks = "odd"\ncentre_distance_mm = 6\ncare = "none"', encoding="utf-8"
    )
    clock = Clock()
    with open_workshop(book_file, clock=clock, plugins=Plugins([])) as workshop:
        job = open_job(workshop, Opening("V-1", enter_procedure(workshop, path, Say("P-2"))), Say("P-2"))
    with open_workshop(book_file, clock=clock, plugins=installed_plugins) as workshop:
        play(workshop, f"2031-04-02 10:05 job {job} chain fitted chain with links=112, size=525 by P-2")

        assert [] == findings(workshop, job, rule="core/plugin-broken")
        assert () == show_job(workshop, job).panels


@pytest.mark.parametrize("name", ["drive-jerks", "final-drive"])
def test_the_examples_hold_no_mistake_and_say_that_they_are_invented(workshop: Workshop, name: str) -> None:
    path = EXAMPLES / f"{name}.toml"
    digest = enter_procedure(workshop, path, Say("P-2"))

    assert "final_drive" in workshop.procedure(digest).procedure.needs
    assert "EVERY VALUE HERE ARE INVENTED" in " ".join(path.read_text(encoding="utf-8").replace("#", "").split())


def test_a_fault_is_looked_for_in_the_order_of_effort(workshop: Workshop) -> None:
    """By hand, chain, front sprocket, rear sprocket, wear, slack and alignment, bearings … last the gearbox."""
    digest = enter_procedure(workshop, EXAMPLES / "drive-jerks.toml", Say("P-2"))
    procedure = workshop.procedure(digest).procedure
    expected = [
        "bike-secured",
        "turn-by-hand",
        "chain-look",
        "front-sprocket-look",
        "front-nut-look",
        "rear-sprocket-look",
        "adjuster-position",
        "wear",
        "adjusters-restored",
        "slack",
        "alignment",
        "wheel-bearings-look",
        "dampers-look",
        "axle-look",
        "brake-look",
        "gearbox-look",
    ]
    looks = [item for item in procedure.work if isinstance(item, Step) and item.look]

    assert expected == [item.key for item in procedure.work]
    assert all(look.means for look in looks)
    assert set(stated_in(procedure.x).always_look) == {look.key for look in looks if look.required}
    assert () == procedure.fasteners()


def test_the_document_of_the_keys_has_every_kind_and_attribute(installed_plugins: Plugins) -> None:
    """What can be written can be looked up; the keys themselves are held to it in tests/docs."""
    text = (EXAMPLES.parents[1] / "docs" / "procedure-keys.md").read_text(encoding="utf-8")
    own = text.partition("### `[x.final_drive]`")[2]
    kinds = [name for name, owned in installed_plugins.kinds.items() if owned.plugin == "final_drive"]
    parts = [owned.kind for owned in installed_plugins.part_kinds.values() if owned.plugin == "final_drive"]
    attributes = [attribute for kind in parts for attribute in kind.attributes]
    words = {word for attribute in attributes for word in (attribute.name, *attribute.choices)}

    assert [] == [kind for kind in (*kinds, *(part.name for part in parts)) if f'`"{kind}"`' not in own]
    assert [] == [word for word in sorted(words) if f"`{word}`" not in own]


def test_old_and_new_are_compared_before_anything_is_fitted(workshop: Workshop) -> None:
    """By the procedure's own order."""
    digest = enter_procedure(workshop, EXAMPLES / "final-drive.toml", Say("P-2"))
    job = open_job(workshop, Opening("V-1", digest), Say("P-2"))
    for key in ("rear-sprocket", "front-sprocket", "chain"):
        play(workshop, f"2031-04-02 10:00 job {job} {key} fitted part by P-2")
    early = [
        said for said in findings(workshop, job, rule="workshop_rules/step-too-early") if "old and new compared" in said
    ]

    assert ["rear sprocket", "front sprocket", "chain"] == [said.partition(":")[0] for said in early]
