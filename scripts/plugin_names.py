"""The document of what a plugin imports, written from the face itself: fields, methods, values and docstrings."""

import inspect
import re
import sys
from collections.abc import Callable, Iterator
from enum import Enum
from functools import cached_property
from types import ModuleType, UnionType
from typing import Any

from torqueaudit import plugin, testing
from torqueaudit.plugin import commands

HEAD = """# What a plugin imports

Written from the code by `make docs`; a test holds it to the code. [hooks.md](hooks.md) says which function of a plugin
is given what. Where a value may be left out, what stands in for it follows its `=`. Records are tuples with names: they
never change, and they are built by keyword.
"""
FACE_HEAD = """
# `torqueaudit.plugin`

What hooks are given and what they answer, and `@hookimpl`, which marks a hook.
"""
COMMANDS_HEAD = """
# `torqueaudit.plugin.commands`

What a plugin's command needs: the book that was named, who speaks, questions and acts.
"""
INSIDE_HEAD = """
# What lies inside of these

Records that are held by those above. They are read where they stand and not imported.
"""
TESTING_HEAD = """
# `torqueaudit.testing`

"""
NAME = re.compile(r"\b[A-Z]\w+")
HOME = re.compile(r"\b(?:\w+\.)+(?=\w)")  # the modules before a name
FORWARD = re.compile(r"ForwardRef\('([^']*)'\)")
OPTIONAL = re.compile(r"Optional\[(\w+)\]")
FACTS = HOME.sub("", str(plugin.Fact))  # which is written out wherever it is used
NOT_OF_A_PLUGIN = {"Any", "TYPE_CHECKING", "all_names", "asked_of", "hookimpl"}


def names_text() -> str:
    """The three modules, one after the other, and before the last what lies inside of the records of the others."""
    face = _names(plugin)
    own = [name for name in _names(commands) if name not in face]
    parts = [FACE_HEAD, *_sections(plugin, face), COMMANDS_HEAD, *_sections(commands, own)]
    inside = sorted(_inside([*_records(plugin, face), *_records(commands, own)]), key=lambda each: each.__name__)
    parts += [INSIDE_HEAD, *(_record(each.__name__, each).replace("\n### ", "\n## ", 1) for each in inside)]
    return HEAD + "".join(parts) + TESTING_HEAD + inspect.cleandoc(testing.__doc__ or "") + "\n"


def _names(module: ModuleType) -> list[str]:
    found = {name for name in dir(module) if name[0] != "_" and not inspect.ismodule(getattr(module, name))}
    return sorted(found - NOT_OF_A_PLUGIN)


def _records(module: ModuleType, names: list[str]) -> list[type[Any]]:
    return [value for name in names if inspect.isclass(value := getattr(module, name))]


def _inside(above: list[type[Any]]) -> Iterator[type[Any]]:
    """The records that the fields of others name, and those that the fields of these name in their turn."""
    known, ahead = set(above), list(above)
    while ahead:
        record = ahead.pop()
        home = vars(sys.modules[record.__module__])
        named = [
            home.get(name) for field in getattr(record, "_fields", ()) for name in NAME.findall(_told(record, field))
        ]
        found = {each for each in named if inspect.isclass(each) and hasattr(each, "_fields")} - known
        known |= found
        ahead += found
        yield from found


def _sections(module: ModuleType, names: list[str]) -> Iterator[str]:
    """Records first, then functions and then plain values, each in the order of the alphabet."""
    found = {name: getattr(module, name) for name in names}
    records = {name: value for name, value in found.items() if inspect.isclass(value)}
    functions = {name: value for name, value in found.items() if inspect.isfunction(value)}
    plain = {name: value for name, value in found.items() if name not in {*records, *functions}}
    yield "\n## Records\n"
    yield from (_record(name, value) for name, value in records.items())
    yield "\n## Functions\n"
    yield from (_function(name, value) for name, value in functions.items())
    if plain:
        yield "\n## Values\n\n"
        yield from (f"- `{name}` = `{_plain(value)}`\n" for name, value in plain.items())


def _record(name: str, record: type[Any]) -> str:
    lines = [f"\n### {name}\n", inspect.getdoc(record) or ""]
    if issubclass(record, Enum):
        lines += ["", *(f"- `{name}.{each.name}` = `{each.value!r}`" for each in record)]
    elif fields := getattr(record, "_fields", ()):
        lines += ["", *(f"- `{_field(record, field)}`" for field in fields)]
    own = list(_members(record))
    return "\n".join([*lines, *([""] if own else []), *own]) + "\n"


def _field(record: Any, field: str) -> str:
    default = record._field_defaults.get(field, inspect.Parameter.empty)
    return f"{field}: {_told(record, field)}" + ("" if default is inspect.Parameter.empty else f" = {_plain(default)}")


def _told(record: type[Any], field: str) -> str:
    """The type of a field, by the names that are written for it."""
    bases = (vars(each).get("__annotations__", {}) for each in record.__mro__)
    return _type(next(each[field] for each in bases if field in each))


def _members(record: type[Any]) -> Iterator[str]:
    """What may be asked of a record beyond its fields, each with the first paragraph of its docstring."""
    for name, member in vars(record).items():
        function = _function_in(member)
        if name[0] == "_" or function is None or not function.__doc__:
            continue
        first = " ".join(inspect.cleandoc(function.__doc__).split("\n\n")[0].split())
        told = _signature(function)
        if isinstance(member, property | cached_property):
            told = f": {told.partition(' -> ')[2]}"
        yield f"- `.{name}{told}`: {first}"


def _function_in(member: object) -> Callable[..., Any] | None:
    if isinstance(member, property):
        return member.fget
    if isinstance(member, cached_property):
        return member.func
    if isinstance(member, staticmethod | classmethod):
        return member.__func__
    return member if inspect.isfunction(member) else None


def _function(name: str, function: Callable[..., Any]) -> str:
    return f"\n### {name}\n\n`{name}{_signature(function)}`\n\n{inspect.getdoc(function) or ''}\n"


def _signature(function: Callable[..., Any]) -> str:
    """Arguments and answer as they are written, without the record itself."""
    signature = inspect.signature(function)
    told = [each for each in signature.parameters.values() if each.name not in {"self", "cls"}]
    plain = [
        each.replace(annotation=_Shown(_type(each.annotation)), default=_shown_default(each.default)) for each in told
    ]
    answer = signature.return_annotation
    return str(signature.replace(parameters=plain, return_annotation=_Shown(_type(answer))))


def _shown_default(value: object) -> object:
    return _Shown(value.__name__) if inspect.isfunction(value) else value


class _Shown:
    """What is shown as it is written."""

    def __init__(self, text: str) -> None:
        self.text = text

    def __repr__(self) -> str:
        return self.text


def _type(annotation: object) -> str:
    """A type by its name alone, without the module it lies in."""
    text = annotation if isinstance(annotation, str) else inspect.formatannotation(annotation)
    short = FORWARD.sub(r"\1", HOME.sub("", text)).replace("~", "")
    return OPTIONAL.sub(r"\1 | None", short).replace(FACTS, "Fact")


def _plain(value: object) -> str:
    """A value as it is written; kinds joined by | by their names alone."""
    if isinstance(value, Enum):
        return str(value)
    return HOME.sub("", str(value)) if isinstance(value, UnionType) else repr(value)
