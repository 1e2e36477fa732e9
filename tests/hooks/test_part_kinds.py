"""`part_kinds`: what is written down with a part, and between which words somebody chooses."""

from collections.abc import Callable
from pathlib import Path

import pytest

import torqueaudit.testing
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.procedure.drawing import Drawing, Stroke
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.procedures import enter_procedure

Written = Callable[..., Plugins]
Stops = Callable[[Plugins], list[str]]

KIND = """
from torqueaudit.plugin import PartAttribute, PartKind

@hookimpl
def part_kinds():
    bore = PartAttribute("bore", digits=True)
    return [PartKind({name!r}, (PartAttribute("spring", ("soft", "hard")), PartAttribute("maker"), bore))]
"""
FORK = KIND.format(name="fork")
DRAWN = """
from torqueaudit.plugin import Drawing, PartAttribute, PartKind, Stroke

def drawn(path, look="thin"):
    return Drawing(40, 20, (Stroke(path, look),))

@hookimpl
def part_kinds():
    drawings = ({drawings})
    return [PartKind("seat", (PartAttribute("fits", ("left", "right"), drawings=drawings),))]
"""
LEG = '[[work]]\nfit = "fork-leg"\nname = "fork leg"\npart = "fork leg"\nkind = "fork"\n'
OPENED = "2031-04-02 10:00 job 1 opened axle on V-1 by P-2"


def with_a_part(folder: Path, work: str) -> Path:
    """The procedure "axle" with one more thing to do, from line 25 on."""
    text = Path(torqueaudit.testing.__file__).with_name("axle.toml").read_text(encoding="utf-8")
    path = folder / "forks.toml"
    path.write_text(text.replace("[recheck]", f"{work}\n[recheck]"), encoding="utf-8")
    return path


@pytest.mark.parametrize(("told", "meant"), [("4O mm", "40 mm"), ("4l mm", "41 mm"), ("IO", ""), ("40 mm O-ring", "")])
def test_a_letter_in_the_place_of_a_digit_is_refused(
    book_file: Path, tmp_path: Path, written: Written, told: str, meant: str
) -> None:
    """Of a size; a word without any digit is a word, and an O-ring is one."""
    with open_workshop(book_file, clock=Clock(), plugins=written(forks=FORK)) as workshop:
        enter_procedure(workshop, with_a_part(tmp_path, LEG), Say("P-2"))
        play(workshop, OPENED)
        line = f"2031-04-02 10:01 job 1 fork-leg fitted leg with Bore={told}, maker=O5 by P-2"
        if meant:
            says = f"fork leg: “bore” is “{told}”, with another sign where a digit belongs; write {meant}"
            with pytest.raises(Refused, match=says):
                play(workshop, line)
            return
        play(workshop, line)
        fitted = workshop.record("1").fitted("fork-leg")

        assert fitted is not None
        assert (("bore", told), ("maker", "O5")) == fitted.attributes


@pytest.mark.parametrize("told", ["soft", "Soft", " SOFT "])
def test_a_choice_is_stored_in_its_own_word(book_file: Path, tmp_path: Path, written: Written, told: str) -> None:
    """However it was written; what has no choices stays as it is, and the plugin is needed from then on."""
    with open_workshop(book_file, clock=Clock(), plugins=written(forks=FORK)) as workshop:
        digest = enter_procedure(workshop, with_a_part(tmp_path, LEG), Say("P-2"))
        play(workshop, OPENED, f"2031-04-02 10:01 job 1 fork-leg fitted leg with spring={told}, colour=Red by P-2")
        fitted = workshop.record("1").fitted("fork-leg")

        assert ("forks",) == workshop.procedure(digest).procedure.needs
        assert fitted is not None
        assert (("spring", "soft"), ("colour", "Red")) == fitted.attributes


def test_a_word_that_is_no_choice_is_refused_with_the_choices(
    book_file: Path, tmp_path: Path, written: Written
) -> None:
    """One sentence, and nothing is recorded."""
    with open_workshop(book_file, clock=Clock(), plugins=written(forks=FORK)) as workshop:
        enter_procedure(workshop, with_a_part(tmp_path, LEG), Say("P-2"))
        play(workshop, OPENED)
        before = workshop.book.head()
        with pytest.raises(Refused) as refused:
            play(workshop, "2031-04-02 10:01 job 1 fork-leg fitted leg with spring=stiff by P-2")

        assert "fork leg: “spring” is “soft” or “hard”, not “stiff”" in str(refused.value)
        assert before == workshop.book.head()


def test_without_a_kind_any_words_are_taken(book_file: Path, tmp_path: Path, written: Written) -> None:
    """As they always were, whatever kinds there are."""
    work = LEG.replace('kind = "fork"\n', 'attributes = ["spring"]\n')
    with open_workshop(book_file, clock=Clock(), plugins=written(forks=FORK)) as workshop:
        digest = enter_procedure(workshop, with_a_part(tmp_path, work), Say("P-2"))
        play(workshop, OPENED, "2031-04-02 10:01 job 1 fork-leg fitted leg with spring=stiff by P-2")
        fitted = workshop.record("1").fitted("fork-leg")

        assert () == workshop.procedure(digest).procedure.needs
        assert fitted is not None
        assert (("spring", "stiff"),) == fitted.attributes


def test_without_its_plugin_a_job_stops_and_takes_no_attributes(
    book_file: Path, tmp_path: Path, written: Written
) -> None:
    """What was chosen could not be held against the choices."""
    with open_workshop(book_file, clock=Clock(), plugins=written(forks=FORK)) as workshop:
        enter_procedure(workshop, with_a_part(tmp_path, LEG), Say("P-2"))
        play(workshop, OPENED)
    with open_workshop(book_file, clock=Clock("2031-04-02 11:00"), plugins=written()) as workshop:
        (stop,) = findings(workshop, rule="core/plugin-broken")
        with pytest.raises(Refused) as refused:
            play(workshop, "2031-04-02 11:01 job 1 fork-leg fitted leg with spring=soft by P-2")

    assert stop.startswith("plugin forks: is expected by this book and not installed. ")
    assert "fork leg: no plugin that is loaded knows what is written down of a “fork”" in str(refused.value)


@pytest.mark.parametrize(
    ("work", "says"),
    [
        (
            LEG.replace('kind = "fork"', 'kind = "frok"'),
            'line 29, fork-leg.kind: "frok" is known to no plugin; did you mean "fork"?',
        ),
        (
            LEG + 'attributes = ["maker", "sprnig"]\n',
            'line 30, fork-leg.attributes: "sprnig" is no attribute of a fork; did you mean "spring"?',
        ),
    ],
)
def test_what_a_procedure_asks_for_in_vain_is_a_mistake_with_its_line(
    book_file: Path, tmp_path: Path, written: Written, work: str, says: str
) -> None:
    """Told when it is entered, with what was meant."""
    path = with_a_part(tmp_path, work)
    plugins = written(forks=FORK)
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop, pytest.raises(Refused) as refused:
        enter_procedure(workshop, path, Say("P-2"))

    assert f"the procedure was not entered:\n{path}:{says}" == str(refused.value)


@pytest.mark.parametrize(
    ("code", "says"),
    [
        (FORK, "“fork” is also given by plugin forks"),
        (KIND.format(name=""), "“” has no name or no attribute"),
        (KIND.format(name="a").replace('"hard"', '"Soft"'), "“a” has two choices of “spring” that read the same"),
        (DRAWN.format(drawings='drawn("M2 2H30"),'), "“seat” draws 1 of the 2 choices of “fits”"),
        (
            DRAWN.format(drawings='drawn("M2 2H30"), drawn("M2 2H30\\"/><script>")'),
            '“seat” draws “right” as nothing that can be drawn: “M2 2H30"/><script>” is no path that starts with M',
        ),
        (
            DRAWN.format(drawings='drawn("M2 2H30"), drawn("M2 2H30", "red")'),
            "“seat” draws “right” as nothing that can be drawn: a stroke of it is none that is thin, thick, solid",
        ),
        (
            DRAWN.format(drawings='"left.png", "right.png"'),
            "“seat” draws “left” as nothing that can be drawn: it is no Drawing",
        ),
        (
            DRAWN.format(drawings='drawn("M2 2H30"), drawn("M2 2H30")._replace(width=0)'),
            "“seat” draws “right” as nothing that can be drawn: its sides are from 1 to 400",
        ),
        ("@hookimpl\ndef part_kinds():\n    return 3 / 0\n", "division by zero"),
    ],
)
def test_part_kinds_that_clash_are_refused_with_their_plugin(
    written: Written, stops: Stops, code: str, says: str
) -> None:
    """The other plugin's kind stays."""
    plugins = written(forks=FORK, forks_too=code).asked_through()

    assert f"its part kinds were refused: {says}" == plugins.states["forks_too"].state
    assert "forks" == plugins.part_kinds["fork"].plugin
    assert [f"plugin forks_too: its part kinds were refused: {says}"] == stops(plugins)


def test_what_is_drawn_beside_a_choice(written: Written) -> None:
    """One drawing for each choice, in their order; a kind without drawings has none."""
    plugins = written(forks=FORK, seats=DRAWN.format(drawings='drawn("M2 2H30"), drawn("M30 2H2")')).asked_through()
    (fits,) = plugins.part_kinds["seat"].kind.attributes
    spring = plugins.part_kinds["fork"].kind.attributes[0]

    assert Drawing(40, 20, (Stroke("M30 2H2", "thin"),)) == fits.drawing_of("right")
    assert spring.drawing_of("hard") is None
