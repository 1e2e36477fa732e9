"""Decisions: each number once, each listed under its room, and every one that the code cites is there."""

import re
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "docs" / "decisions"
FILES = sorted(each.name for each in FOLDER.glob("*.md") if each.name != "README.md")
ROOMS = ("ledger", "model", "book", "plugins", "workshop", "reports", "web", "cli", "labels", "tests")
FORM = re.compile(
    r"# (?P<number>\d{4}): (?P<title>.+)\n\n(?P<room>\w+) · \d{4}-\d\d-\d\d(?P<replaced> · replaced by .+)?\n\n.+",
    re.DOTALL,
)


def form_of(name: str) -> re.Match[str] | None:
    return FORM.fullmatch((FOLDER / name).read_text(encoding="utf-8"))


def sources() -> list[Path]:
    rooms = [ROOT / name for name in ("torqueaudit", "plugins", "labels", "tests", "benchmarks", "examples", "scripts")]
    return [
        ROOT / "pyproject.toml",
        *(each for room in rooms for each in room.rglob("*") if each.suffix in {".py", ".sql"}),
    ]


def test_each_decision_has_a_number_of_its_own() -> None:
    """The numbers run from 0001 without a gap; two of one number, added at the same time, are found here."""
    assert [f"{number:04}" for number in range(1, len(FILES) + 1)] == [name[:4] for name in FILES]


def test_each_decision_says_its_number_its_room_and_its_day() -> None:
    """The first line is number and title, the third is room and day, and then comes the decision."""
    forms = {name: form_of(name) for name in FILES}

    assert [] == [name for name, form in forms.items() if form is None or form["number"] != name[:4]]
    assert set() == {form["room"] for form in forms.values() if form} - set(ROOMS)


def test_each_decision_is_listed_once_under_its_room() -> None:
    """The index names number, file and title, in the order of the numbers."""
    expected: dict[str, list[str]] = {}
    for name in FILES:
        form = form_of(name)
        assert form is not None
        says = f"- [{form['number']}]({name}) {form['title']}{' (replaced)' if form['replaced'] else ''}"
        expected.setdefault(form["room"], []).append(says)
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    listed = re.findall(r"^## (\w+)\n\n((?:- .+\n)+)", text, re.MULTILINE)

    assert {room: rows for room in ROOMS if (rows := expected.get(room))} == {
        room: rows.splitlines() for room, rows in listed
    }


def test_every_decision_that_the_code_cites_is_there() -> None:
    """`decision 0005` in a comment or a docstring; a replaced one is cited by nobody."""
    standing = {name[:4] for name in FILES if (form := form_of(name)) and not form["replaced"]}
    cited = Counter(
        number
        for path in sources()
        if path != Path(__file__)
        for number in re.findall(r"decision\s+(\d{4})\b", path.read_text(encoding="utf-8"), re.IGNORECASE)
    )

    assert len(cited) > 20
    assert [] == sorted(set(cited) - standing)
