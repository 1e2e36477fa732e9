"""Names that are imported when somebody asks for them first.

Every command loads every plugin, and most of them have nothing to do in it. So a plugin costs only what it uses
(decision 0049).
"""

from collections.abc import Mapping
from importlib import import_module
from typing import Any


def asked_of(module: dict[str, Any], homes: Mapping[str, str], name: str) -> Any:
    """A name of a module, imported from its home; `homes` are modules and the names in each.

    The other names of that home are kept in the module too, as plugins ask for several. Raises AttributeError for a
    name that the module does not have.
    """
    home = next((home for home, names in homes.items() if name in names.split()), None)
    if home is None:
        raise AttributeError(f"{module['__name__']} has no {name}")
    found = import_module(home)
    module.update({each: getattr(found, each) for each in homes[home].split()})
    return module[name]


def all_names(module: Mapping[str, Any], homes: Mapping[str, str]) -> list[str]:
    """Every name that a module has or can import."""
    return sorted({*module, *(name for names in homes.values() for name in names.split())})
