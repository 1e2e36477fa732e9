"""The names of rules: `PLUGIN/rule-name`, and the short one that people read and type where it means one rule only.

Entries of before keep their short names: decision 0050.
"""

from collections.abc import Iterable

from torqueaudit.model.job.noted import FindingKey

CORE = "core"  # what the program itself says bears this in place of a plugin's name


def short_name(rule: str) -> str:
    """A rule's name without its plugin's."""
    return rule.rpartition("/")[2]


def in_words(rule: str) -> str:
    """What a rule is called where people read it: "measurement missing"."""
    return short_name(rule).replace("-", " ")


def is_rule_of(plugin: str, rule: str) -> bool:
    """Whether a rule's name is one that this plugin may say."""
    owner, _, name = rule.partition("/")
    return owner == plugin != CORE and bool(name)


def rules_meant(name: str, rules: Iterable[str]) -> list[str]:
    """The rules, each once, that a full or a short name means; a short one may mean rules of several plugins."""
    return [rule for rule in dict.fromkeys(rules) if name in (rule, short_name(rule))]


def name_among(rule: str, rules: Iterable[str]) -> str:
    """A rule's short name, and its full one where another of the `rules` bears the same."""
    short = short_name(rule)
    return short if len(rules_meant(short, rules)) <= 1 else rule


def key_today(recorded: FindingKey, keys: Iterable[FindingKey]) -> FindingKey:
    """The one of these keys that a recorded one means, else the key as it was recorded.

    Entries of the first release hold a rule's name without its plugin's, and keep it so.
    """
    alike = (key.rule for key in keys if (key.subject, key.entry) == (recorded.subject, recorded.entry))
    meant = rules_meant(recorded.rule, alike)
    return recorded._replace(rule=meant[0]) if len(meant) == 1 else recorded
