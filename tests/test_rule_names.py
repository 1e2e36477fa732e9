"""The names of rules: each bears its plugin's, and the core names none but its own."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import torqueaudit
import torqueaudit_plugins
from torqueaudit.model.job.noted import FindingKey
from torqueaudit.model.judged.rule_name import CORE, is_rule_of, key_today, name_among, rules_meant

# Types of media (RFC 6838) are written in the same form.
RULE = re.compile(r"(?!(application|multipart)/)[a-z_]+/[a-z]+(-[a-z]+)+")


def strings_in(folder: Path) -> Iterator[tuple[Path, str]]:
    """Every string of the code below a folder, docstrings and comments left out."""
    for file in sorted(folder.rglob("*.py")):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        said = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in said:
                yield file, node.value


def rules() -> list[tuple[str, str]]:
    """Each bundled rule's name, with the folder of the plugin that says it."""
    root = Path(torqueaudit_plugins.__file__).parent
    found = ((file.relative_to(root).parts[0], text) for file, text in strings_in(root) if "rules" in str(file))
    return [(plugin, text) for plugin, text in found if RULE.fullmatch(text)]


def test_each_bundled_rule_bears_the_name_of_its_plugin() -> None:
    """About a hundred; a rule that borrows another's name is refused when it speaks."""
    assert 90 < len(set(rules()))
    assert [] == [(plugin, rule) for plugin, rule in rules() if not is_rule_of(plugin, rule)]


def test_the_core_names_no_rule_but_its_own() -> None:
    """What it has to know of a finding, the finding says."""
    short = {rule.partition("/")[2] for _, rule in rules()}
    root = Path(torqueaudit.__file__).parent
    named = [(file.name, text) for file, text in strings_in(root) if text in short or RULE.fullmatch(text)]

    assert [] == named


def test_a_name_means_one_rule_where_no_other_has_it() -> None:
    """The full one always; the short one is shown only where it may be typed."""
    both = ["a/not-marked", "b/not-marked", "a/loose"]

    assert (["a/loose"], ["a/loose"], []) == tuple(rules_meant(name, both) for name in ("loose", "a/loose", "b/loose"))
    assert (["a/not-marked", "b/not-marked"], ["b/not-marked"]) == (
        rules_meant("not-marked", both),
        rules_meant("b/not-marked", both),
    )
    assert ("loose", "a/not-marked") == (name_among("a/loose", both), name_among("a/not-marked", both))


def test_a_key_without_its_plugin_means_the_one_finding_that_bears_it() -> None:
    """Of the same subject and the same entry; where two do it means neither, so that a stop comes back."""
    first, second = FindingKey("a/loose", "nut", 7), FindingKey("b/loose", "nut", 7)
    recorded = first._replace(rule="loose")

    assert first == key_today(recorded, [first, second._replace(entry=8), second._replace(subject="bolt")])
    assert recorded == key_today(recorded, [first, second])
    assert first == key_today(first, [first, second])


@pytest.mark.parametrize(("plugin", "rule"), [("a", "b/loose"), ("a", "loose"), ("a", "a/"), (CORE, f"{CORE}/loose")])
def test_a_plugin_owns_what_bears_its_name_alone(plugin: str, rule: str) -> None:
    """None speaks in the program's own name, whatever it is called."""
    assert not is_rule_of(plugin, rule)
