"""Reading a procedure's TOML: torques as documents print them, and every mistake told with its line and key."""

import re
import time
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from torqueaudit.model.procedure.normal_form import from_normal_form, normal_form
from torqueaudit.model.procedure.procedure import Fastener, Measurement, Procedure, RecheckPlan
from torqueaudit.model.procedure.toml.file import read_procedure
from torqueaudit.model.procedure.toml.values import Mistake, ProcedureMistakes
from torqueaudit.model.torque.specification import Printed, Specification
from torqueaudit.model.torque.units import NEWTON_METRE, TorqueUnit, UnitTable

EXAMPLES = Path(__file__).parents[3] / "examples" / "procedures"

# One pound-force foot, exactly: 0.45359237 kg · 9.80665 m/s² · 0.3048 m (NIST SP 811:2008, appendix B.8, footnotes).
POUND_FOOT = TorqueUnit("lbf·ft", Fraction("0.45359237") * Fraction("9.80665") * Fraction("0.3048"))
UNITS = UnitTable([NEWTON_METRE, POUND_FOOT])

HEAD = """format = 1
name = "small"
title = "Small work"
edition = "1"
[source.manual]
document = "Manual"
edition = "3"
model = "Kestrel 500"
years = [2028, 2031]
"""
NUT = '[[work]]\ntighten = "nut"\nname = "nut"\nsource = "manual"\npage = "1"\n'
SLACK = '[[work]]\nmeasure = "slack"\nname = "slack"\nsource = "manual"\npage = 2\n'
STEP = '[[work]]\nstep = "look"\nname = "look"\nsays = "Look."\n'


def read(text: str) -> Procedure:
    return read_procedure(text, UNITS, Decimal(8))


def mistakes(text: str) -> list[str]:
    """What is wrong with the text, empty where nothing is."""
    try:
        read(text)
    except ProcedureMistakes as wrong:
        return [str(mistake) for mistake in wrong.mistakes]
    return []


def nut(lines: str) -> Fastener:
    return read(HEAD + NUT + lines).fasteners()[0]


def specification(lines: str) -> Specification:
    return nut(lines).specification


def gauge(lines: str) -> Measurement:
    return read(HEAD + SLACK + lines).measurements()[0]


def plan(lines: str) -> RecheckPlan | None:
    marked = NUT + 'torque = "9 N·m"\ntolerance = "1 N·m"\nmark = true\n'
    return read(f"{HEAD}{marked}[recheck]\n{lines}").recheck


@pytest.mark.parametrize(
    ("torque", "tolerance", "lower", "upper"),
    [
        ("108 N·m", "10 %", "97.2", "118.8"),
        ("108 N·m", "±10%", "97.2", "118.8"),
        ("108 N·m", "+/- 10 %", "97.2", "118.8"),
        ("24 N·m", "5 N·m", "19", "29"),
        ("24 N·m", "± 5 Nm", "19", "29"),
        ("24 N·m", "2,5", "21.5", "26.5"),
        ("108 N·m", "+10 N·m / -0 N·m", "108", "118"),
        ("108 N·m", "+10/−5 N·m", "103", "118"),
        ("108 N·m", "+0 % / -10 %", "97.2", "108"),
    ],
)
def test_a_value_has_the_limits_its_tolerance_gives(torque: str, tolerance: str, lower: str, upper: str) -> None:
    """The forms in which documents print a tolerance."""
    read_it = specification(f'torque = "{torque}"\ntolerance = "{tolerance}"\n')

    assert (Decimal(lower), Decimal(upper)) == (read_it.lower_nm, read_it.upper_nm)
    assert (torque, tolerance, False) == (read_it.written, read_it.tolerance, read_it.own_tolerance)


@pytest.mark.parametrize(
    "torque",
    ["97 … 119 N·m", "97…119 Nm", "97 .. 119 N·m", "97 – 119 N·m", "97-119 N·m", "97 to 119 N·m", "97 N·m … 119 N·m"],
)
def test_a_range_has_its_two_ends_and_no_nominal_value(torque: str) -> None:
    """The signs people write between the ends."""
    read_it = specification(f'torque = "{torque}"\n')

    assert (Decimal(97), Decimal(119), None) == (read_it.lower_nm, read_it.upper_nm, read_it.nominal_nm)


def test_where_no_tolerance_is_printed_the_workshops_own_stands_in_and_is_named_so() -> None:
    """The workshop's default is 8 % here."""
    read_it = specification('torque = "100 N·m"\ntolerance = "workshop"\n')

    assert (Decimal(92), Decimal(108)) == (read_it.lower_nm, read_it.upper_nm)
    assert (read_it.tolerance, read_it.own_tolerance) == ("8 %", True)


def test_another_unit_is_kept_as_written_and_judged_in_newton_metres() -> None:
    """80 lbf·ft is 108.4654358665 N·m (from the definition of the pound, the foot and standard gravity)."""
    read_it = specification('torque = "80 lbf·ft"\ntolerance = "8 lbf·ft"\nalso = ["108 N·m"]\n')

    assert read_it.nominal_nm is not None
    assert read_it.lower_nm is not None
    assert round(read_it.nominal_nm, 10) == Decimal("108.4654358665")
    assert round(read_it.lower_nm, 10) == Decimal("97.6188922799")
    assert ("80 lbf·ft", "lbf·ft") == (read_it.written, read_it.unit)
    assert (Printed("108 N·m", (Decimal(108),), (Decimal("0.5"),)),) == read_it.also


def test_torque_and_angle_is_kept_apart_from_plain_torque() -> None:
    """30 N·m and 90° more."""
    read_it = specification(
        'torque = "30 N·m"\ntolerance = "5 %"\nmethod = "torque and angle"\nangle = "90°"\nangle_tolerance = "5°"\n'
    )

    assert ("torque and angle", Decimal(90), Decimal(5)) == (read_it.method, read_it.angle, read_it.angle_tolerance)


TORQUE = 'torque = "9 N·m"\ntolerance = "1 N·m"\n'


@pytest.mark.parametrize(
    ("lines", "key", "says"),
    [
        ("", "torque", "is missing"),
        ('torque = "9 N·m"', "tolerance", "is missing"),
        ('torque = "9 kg"\ntolerance = "1 %"', "torque", "no torque"),
        ('torque = "9"\ntolerance = "1 %"', "torque", "no unit"),
        ('torque = "-9 N·m"\ntolerance = "1 %"', "torque", "above zero"),
        ('torque = "0 N·m"\ntolerance = "1 %"', "torque", "above zero"),
        ('torque = 9\ntolerance = "1 %"', "torque", "no unit"),
        ('torque = ["9 N·m"]\ntolerance = "1 %"', "torque", "has to be text"),
        ('torque = "119 … 97 N·m"', "torque", "not below"),
        ('torque = "97 … 97 N·m"', "torque", "not below"),
        ('torque = "97 … 119 N·m"\ntolerance = "1 %"', "tolerance", "range"),
        ('torque = "9 N·m"\ntolerance = "9 N·m"', "tolerance", "as wide as the value"),
        ('torque = "9 N·m"\ntolerance = "100 %"', "tolerance", "as wide as the value"),
        ('torque = "9 N·m"\ntolerance = "0 %"', "tolerance", "no room"),
        ('torque = "9 N·m"\ntolerance = "some"', "tolerance", "does not start with a number"),
        ('torque = "9 N·m"\ntolerance = "1 kg"', "tolerance", "no torque"),
        ('torque = "9 N·m"\ntolerance = "+1 N·m"', "tolerance", "is no tolerance"),
        (TORQUE + 'also = ["6 kilos"]', "also", "not a torque unit"),
        (TORQUE + 'method = "torque and angle"', "method", "no angle"),
        (TORQUE + 'method = "by feel"', "method", "not known"),
        (TORQUE + 'angle = "90°"', "angle", "needs method"),
        (TORQUE + 'method = "torque and angle"\nangle = "90"', "angle", "is no angle"),
        (TORQUE + 'method = "torque and angle"\nangle = "9°"\nangle_tolerance = "9°"', "angle_tolerance", "wider"),
        (TORQUE + "count = 21", "count", "from 2 to 20"),
        (TORQUE + "count = 1", "count", "from 2 to 20"),
        (TORQUE + "count = true", "count", "whole number"),
        (TORQUE + "count = 7\ncross = true", "cross", "4, 5, 6 or 8"),
        (TORQUE + "cross = true", "cross", "not 1"),
        (TORQUE + "count = 3\npattern = [1, 2, 2]", "pattern", "from 1 to 3"),
        (TORQUE + 'count = 2\npattern = ["1", "2"]', "pattern", "from 1 to 2"),
        (TORQUE + "count = 2\npattern = 2", "pattern", "from 1 to 2"),
        (TORQUE + "count = 3\npattern = [1, 2, 3]\ncross = true", "cross", "leave one"),
        (TORQUE + 'stages = ["hand", "100 %"]', "stages", "add count"),
        (TORQUE + 'count = 4\nstages = ["hand", "70 %"]', "stages", "rise"),
        (TORQUE + 'count = 4\nstages = ["70 %", "30 %", "100 %"]', "stages", "rise"),
        (TORQUE + 'count = 4\nstages = ["hand"]', "stages", "rise"),
        (TORQUE + 'count = 4\nstages = ["0 %", "100 %"]', "stages", "rise"),
        (TORQUE + 'count = 4\nstages = ["30 %", "hand", "100 %"]', "stages", "rise"),
        (TORQUE + 'condition = "threadlocker"', "condition", "cures"),
        (TORQUE + "cure_time_h = 24", "cure_time_h", "threadlocker"),
        (TORQUE + 'condition = "threadlocker"\ncure_time_h = -1', "cure_time_h", "above 0"),
        (TORQUE + 'condition = "threadlocker"\ncure_time_h = nan', "cure_time_h", "above 0"),
        (TORQUE + 'condition = "threadlocker"\ncure_time_h = 2\ncount = 2\nstages = ["100 %"]', "stages", "one go"),
        (TORQUE + 'mark = "yes"', "mark", "true or false"),
        (TORQUE + 'holds = "engine"', "holds", "not known"),
        (TORQUE + 'single_use = ["Tab Washer"]', "single_use", "is no key"),
        (TORQUE + 'after = ["nut"]', "after", "itself"),
        (TORQUE + 'after = ["nutt"]', "after", 'did you mean "nut"'),
        (TORQUE + "limit = 3", "limit", "not known here"),
        (TORQUE + 'thred = "M8"', "thred", 'did you mean "thread"'),
    ],
)
def test_a_mistake_in_a_fastener_is_told_at_its_key(lines: str, key: str, says: str) -> None:
    """One mistake, one line of the answer, standing at the key or, where the key is missing, at the table."""
    text = HEAD + NUT + lines
    written = [number for number, line in enumerate(text.splitlines(), start=1) if re.match(rf"{key} *=", line)]
    line = written[-1] if written else text.splitlines().index("[[work]]") + 1
    found = mistakes(text)

    assert len(found) == 1, found
    assert found[0].startswith(f"line {line}, nut.{key}: ")
    assert says in found[0]


def test_a_fastener_without_a_source_is_refused() -> None:
    """No source, no specification."""
    text = HEAD + '[[work]]\ntighten = "nut"\nname = "nut"\ntorque = "9 … 11 N·m"\n'

    assert mistakes(text) == [
        "line 10, nut.page: is missing; write page = …",
        "line 10, nut.source: is missing; write source = …",
    ]


@pytest.mark.parametrize(
    ("lines", "lower", "upper"),
    [
        ('limit = "32 … 42 mm"', "32", "42"),
        ('limit = "-0.5 … 0.5 mm"', "-0.5", "0.5"),
        ('max = "1 mm"', None, "1"),
        ('min = 1.5\nunit = "mm"', "1.5", None),
        ('min = "1 mm"\nmax = "2,5 mm"', "1", "2.5"),
        ('unit = "mm"', None, None),
    ],
)
def test_a_measurement_has_the_limits_that_are_written(lines: str, lower: str | None, upper: str | None) -> None:
    """Without a limit it is measured, not judged."""
    taken = gauge(lines)
    ends = [None if end is None else str(end) for end in (taken.lower, taken.upper)]

    assert ("mm", [lower, upper]) == (taken.unit, ends)


@pytest.mark.parametrize(
    ("lines", "key", "says"),
    [
        ("", "unit", "is missing"),
        ('limit = "30 … 20 mm"', "limit", "not below"),
        ('limit = "30 mm"', "limit", "is no range"),
        ('limit = "32 … 42 mm"\nmax = "3 mm"', "limit", "leave one"),
        ('limit = "32 … 42 mm"\nunit = "in"', "unit", "write both in one unit"),
        ('max = "much"\nunit = "mm"', "max", "does not start with a number"),
        ('unit = "mm"\nagain_after = ["slack"]', "again_after", "no fastener"),
        ('unit = "mm"\nconditions = "cold"', "conditions", "has to be a table, like conditions = { … }"),
    ],
)
def test_a_mistake_in_a_measurement_is_told_at_its_key(lines: str, key: str, says: str) -> None:
    """One mistake each."""
    found = mistakes(HEAD + SLACK + lines)

    assert len(found) == 1, found
    assert f"slack.{key}: " in found[0]
    assert says in found[0]


def test_a_limit_needs_a_source_and_a_bare_measurement_does_not() -> None:
    """Where nothing is judged, nothing has to be proved."""
    head = HEAD + '[[work]]\nmeasure = "slack"\nname = "slack"\n'

    assert mistakes(head + 'unit = "mm"') == []
    assert len(mistakes(head + 'max = "2 mm"')) == 2


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ('distance = "100 km"\nmarks = "all"', Decimal(100_000)),
        # One statute mile is 1609.344 m exactly (NIST SP 811:2008, appendix B.8).
        ('distance = "62.5 mi"\nmarks = "all"', Decimal(100_584)),
        ('days = 14\nmarks = ["nut"]', None),
    ],
)
def test_a_recheck_counts_metres_or_days(lines: str, expected: Decimal | None) -> None:
    """Kilometres and miles, exactly."""
    found = plan(lines)

    assert found is not None
    assert (expected, ("nut",)) == (found.distance_m, found.marks)


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ('marks = "all"', "needs a distance, days or hours"),
        ("days = 14", "names nothing to look at"),
        ('days = 14.0\nmarks = "all"', "whole number"),
        ('distance = "100"\nmarks = "all"', "write a number and km"),
        ('distance = "1,000 km"\nmarks = "all"', "thousands or decimals"),
        ('distance = "1.000 km"\nmarks = "all"', "thousands or decimals"),
        ('distance = "0 km"\nmarks = "all"', "above zero"),
        ('days = 14\nmarks = ["bolt"]', "not known here"),
        ('days = 14\nmeasurements = ["nut"]', "not known here"),
        ('days = 14\ntorques = ["nuts"]', 'did you mean "nut"'),
    ],
)
def test_a_mistake_in_the_recheck_is_told(lines: str, says: str) -> None:
    """One mistake each."""
    with pytest.raises(ProcedureMistakes) as wrong:
        plan(lines)

    assert len(wrong.value.mistakes) == 1, str(wrong.value)
    assert says in wrong.value.mistakes[0].says


def test_a_recheck_never_turns_a_threadlocked_or_angled_fastener_again() -> None:
    """Turning a cured bond breaks it; a torque says nothing of an angle; a mark that nobody paints is not looked at."""
    text = (
        HEAD
        + f'{NUT}{TORQUE}condition = "threadlocker"\ncure_time_h = 24\n'
        + NUT.replace('"nut"', '"bolt"')
        + f'{TORQUE}method = "torque and angle"\nangle = "90°"\n'
        + '[recheck]\ndays = 7\ntorques = ["nut", "bolt"]\nmarks = ["nut"]\n'
    )
    says = " ".join(mistakes(text))

    assert len(mistakes(text)) == 3
    assert "threadlocked" in says
    assert "by angle" in says
    assert "never marked" in says


def work(*items: tuple[str, str]) -> str:
    tables = (f'[[work]]\nstep = "{key}"\nname = "{key}"\nsays = "Do."\nafter = [{after}]\n' for key, after in items)
    return HEAD + "".join(tables)


def test_work_that_goes_round_in_a_circle_is_told_once() -> None:
    """a after c after b after a: told where the first of them stands, and nothing else of it."""
    found = mistakes(work(("a", '"c"'), ("b", '"a"'), ("c", '"b"'), ("d", '"a"')))

    assert found == ["line 14, a.after: goes round in a circle: a after c after b after a"]


def test_two_circles_are_both_told() -> None:
    """Every mistake at once."""
    found = mistakes(work(("a", '"b"'), ("b", '"a"'), ("c", '"d"'), ("d", '"c"')))

    assert len(found) == 2
    assert all("circle" in one for one in found)


def test_what_comes_before_stands_earlier_in_the_file() -> None:
    """The file is read as the order of work."""
    found = mistakes(work(("a", '"b"'), ("b", "")))

    assert len(found) == 1
    assert '"b" stands later in the file' in found[0]


def test_after_names_a_group_and_not_one_of_its_bolts() -> None:
    """The whole group comes before."""
    group = f"{NUT}{TORQUE}count = 4\n"
    found = mistakes(HEAD + group + STEP + 'after = ["nut-3"]\n')

    assert len(found) == 1
    assert 'name the group, "nut"' in found[0]


def test_a_position_is_claimed_once() -> None:
    """A group's third bolt and a fastener called like it are the same place on the vehicle."""
    group = f"{NUT}{TORQUE}count = 4\n"
    single = NUT.replace('tighten = "nut"', 'tighten = "nut-3"').replace('name = "nut"', 'name = "third nut"') + TORQUE
    found = mistakes(HEAD + group + single)

    assert len(found) == 1
    assert '"nut-3" is used twice' in found[0]


def test_a_name_is_given_once() -> None:
    """A sentence about "nut", and a permission for it, must speak of one thing."""
    found = mistakes(HEAD + NUT + TORQUE + NUT.replace('tighten = "nut"', 'tighten = "other"') + TORQUE)

    assert len(found) == 1
    assert '"nut" is also the name of nut; give each a name of its own' in found[0]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('format = 1\nname = "a"\ntitle = \n', 3),
        ("format = 1\nformat = 1\n", 2),
        ('name = "open\n', 1),
        ('a = 1\nb = """never closed\n\n', 4),
        ("a = " + "9" * 5000 + "\n", 2),
    ],
)
def test_the_first_error_of_toml_is_told_alone_with_its_line(text: str, line: int) -> None:
    """Nothing can be said of the rest."""
    with pytest.raises(ProcedureMistakes) as wrong:
        read(text)

    assert len(wrong.value.mistakes) == 1
    assert line == wrong.value.mistakes[0].line
    assert wrong.value.mistakes[0].says.startswith("this is not TOML: ")


def test_a_text_nested_without_end_is_refused_and_not_a_crash() -> None:
    """Deeper than the reader of TOML can follow."""
    assert mistakes("a = " + "[" * 5000) == ["line 1: lists or tables are nested too deeply"]


def test_every_mistake_of_meaning_is_told_at_once_in_the_order_of_the_lines() -> None:
    """A text with many slips."""
    text = """format = 2
name = "Small Work"
title = ""
sources = 1
[source.manual]
document = "Manual"
edition = 3
years = [2031, 2028]
frames = ["A2", "A1"]
[[work]]
name = "nothing"
[[work]]
tighten = "nut"
step = "nut"
[[work]]
fit = "Chain"
name = "chain"
[[work]]
tighten = "nut"
name = "nut"
torque = "9 … 11 N·m"
source = "manuel"
page = 12
"""
    expected = [
        "line 1, edition: is missing; write edition = …",
        "line 1, format: is 2; this program reads format = 1",
        'line 2, name: "Small Work" is no key; use a to z, 0 to 9 and single hyphens, like "rear-axle-nut"',
        "line 3, title: is empty; say it or leave the key out",
        'line 4, sources: is not known here; did you mean "source"?',
        "line 5, source.manual.model: is missing; write model = …",
        "line 8, source.manual.years: have to be the first and the last model year, like years = [2028, 2031]",
        'line 9, source.manual.frames: have to be two frame numbers of one length, like ["KS501", "KS549"]',
        "line 10, work 1: has to hold exactly one of tighten, measure, step, fit; it holds none",
        "line 12, work 2: has to hold exactly one of tighten, measure, step, fit; it holds tighten and step",
        "line 15, Chain.part: is missing; write part = …",
        'line 16, Chain.fit: "Chain" is no key; use a to z, 0 to 9 and single hyphens, like "rear-axle-nut"',
        'line 22, nut.source: "manuel" is not known here; did you mean "manual"?',
    ]

    assert expected == mistakes(text)


@pytest.mark.parametrize("text", ["", "work = 3\nsource = 3\nrecheck = 3\nx = 3", "work = [3]\nx = { a = 3 }"])
def test_a_text_of_the_wrong_shape_is_told_and_not_a_crash(text: str) -> None:
    """Values where tables belong."""
    assert len(mistakes(text)) >= 4


def test_lines_are_right_behind_texts_and_lists_of_many_lines() -> None:
    """Nothing inside a text counts as a key or a table."""
    text = (
        HEAD
        + '[[work]] # the "first"\nstep = "a"\nname = "a"\nsays = """\n[[work]]\nstep = "b"\n\\""" """\n'
        + "after = [\n  'a', # one ]\n  \"x\",\n]\n[[work]]\n\"step\" = 'c'\nname = 'c'\nsays = '''\n'''\n"
    )
    lines = text.splitlines()
    after, says = lines.index("after = [") + 1, lines.index("says = '''") + 1

    assert [one.split(":")[0] for one in mistakes(text)] == [f"line {after}, a.after"] * 2 + [f"line {says}, c.says"]


def test_a_plugins_table_is_kept_for_it_with_numbers_as_text() -> None:
    """The ledger holds no floats and no dates."""
    table = "pitch = 15.875\nlinks = 112\nsince = 2031-04-02\nbig = 9007199254740993\nlist = [{ A = 0.5 }]\n"
    expected = {
        "pitch": "15.875",
        "links": 112,
        "since": "2031-04-02",
        "big": "9007199254740993",
        "list": [{"A": "0.5"}],
    }
    procedure = read(f"{HEAD}{STEP}[x.chain-care]\n{table}")

    assert {"chain-care": expected} == procedure.x
    assert procedure == from_normal_form(normal_form(procedure))


def test_a_text_from_another_system_reads_the_same() -> None:
    """A byte order mark and line ends of two characters."""
    text = HEAD + STEP

    assert read(text) == read("\ufeff" + text.replace("\n", "\r\n"))


def test_a_mistake_reads_as_one_line() -> None:
    """Ready to follow a file's name."""
    assert str(Mistake(3, "nut.torque", "is missing")) == "line 3, nut.torque: is missing"
    assert str(ProcedureMistakes([Mistake(3, "b", "y"), Mistake(1, "", "x")])) == "line 1: x\nline 3, b: y"


@pytest.mark.parametrize("odd", ['""', "-1", "nan", "true", "[]", "[1]", "{ a = 1 }", "1979-05-27", '["a", "a"]'])
def test_no_value_of_another_kind_makes_the_reader_crash(odd: str) -> None:
    """Each value of the example in turn is something else: it is read, or told on a line of the text."""
    lines = (EXAMPLES / "front-wheel.toml").read_text(encoding="utf-8").splitlines()
    keys = [index for index, line in enumerate(lines) if " = " in line and not line.startswith("#")]
    for index in keys:
        changed = [*lines[:index], f"{lines[index].split(' = ')[0]} = {odd}", *lines[index + 1 :]]
        told = [int(one.split()[1].rstrip(",:")) for one in mistakes("\n".join(changed))]

        assert all(1 <= line <= len(lines) for line in told)


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ('after = ["nut"]\ncovers = ["nut"]', ""),
        ('after = ["nut"]\ncovers = ["nutt"]', '"nutt" is no fastener here; did you mean "nut"'),
        ('covers = ["nut"]', '"nut" comes before what covers it; write it in after as well'),
    ],
)
def test_a_step_covers_a_fastener_that_comes_before_it(lines: str, says: str) -> None:
    """What it hides stands in `after` too."""
    found = mistakes(f'{HEAD}{NUT}torque = "at least 9 N·m"\n{STEP}{lines}')

    assert [True] * bool(says) == [f"look.covers: {says}" in mistake for mistake in found]
    if not says:
        assert ("nut",) == read(f'{HEAD}{NUT}torque = "at least 9 N·m"\n{STEP}{lines}').steps()[0].covers


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[x.demo" + ".a" * 5_000 + "]\nb = 1", "line 1: lists or tables are nested too deeply"),
        ("[x.demo]\nb = " + "[" * 30 + "]" * 30, "line 1: lists or tables are nested too deeply"),
        ("format = 0x" + "f" * 6000, "line 1, format: this number is too long; write fewer digits"),
        ("[recheck]\ndays = 1" + "0" * 4000, "line 2, recheck.days: this number is too long; write fewer digits"),
        ("[x.demo]\nb = [1, 0o" + "7" * 9000 + "]", "line 2, x.demo.b: this number is too long; write fewer digits"),
    ],
    ids=["tables", "lists", "format", "days", "in a list"],
)
def test_what_no_reader_could_hold_is_told_by_its_line(text: str, says: str) -> None:
    """Deeper than Python calls itself, longer than it writes a number; nothing else is looked at then."""
    (told,) = mistakes(text)

    assert told.startswith(says)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("format = 1 # \u202e", "line 1: here: sign 14 is U+202E (right-to-left override), which nobody sees"),
        ('format = 1\ntitle = "a\\u202Eb"', "line 2, title: here: sign 2 is U+202E (right-to-left override)"),
        ('format = 1\r\nneeds = ["a\\nb\\u0007"]', "line 2, needs: here: sign 4 is U+0007 (a control sign)"),
        ('format = 1\n[x."a\\u200Bb"]', "line 1, x.a⟨U+200B⟩b: here: sign 2 is U+200B (zero width space)"),
    ],
)
def test_a_sign_that_nobody_sees_is_told_by_its_line(text: str, says: str) -> None:
    """As it is, in a comment too, and written as an escape, in a key too."""
    (told,) = mistakes(text)

    assert told.startswith(says)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("format = 1\n" + "#" * 250_000, "line 1: this has more than 250000 characters, which no such file has"),
        ("format = 1\n" + "a." * 100_000 + "b = 1", "line 2: lists or tables are nested too deeply"),
        ("format = 1\n[" + '"a" . ' * 40_000 + "b]", "line 2: lists or tables are nested too deeply"),
        ("format = 1\nx = " + "[" * 100_000, "line 1: lists or tables are nested too deeply"),
        ("format = 1\ndays = " + "9" * 6000, "line 2: this is not TOML: a number in it is too long"),
    ],
    ids=["long", "dotted", "header", "lists", "digits"],
)
def test_what_would_take_minutes_to_read_is_not_tried(text: str, says: str) -> None:
    """Python's reader takes 16 s for a key of 100,000 parts (measured); here it is refused within one."""
    began = time.process_time()
    (told,) = mistakes(text)

    assert told.startswith(says)
    assert time.process_time() - began < 1


def test_a_long_procedure_is_read() -> None:
    """Twenty times as long as the longest of the workshop: nothing but its length differs."""
    read(f'{HEAD}{NUT}torque = "at least 9 N·m"\n' + "# a.b.c.d.e.f.g.h.i.j.k.l.m.n.o.p.q.r\n" * 6000)
