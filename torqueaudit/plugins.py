"""Finding, loading and isolating plugins.

Each plugin is imported, registered and called alone: one that breaks is told as trouble and the others go on.
"""

from collections.abc import Collection, Iterable, Iterator
from functools import cached_property
from importlib.metadata import Distribution, EntryPoint
from typing import TYPE_CHECKING, Any, NamedTuple, Self

import pluggy

from torqueaudit import hooks
from torqueaudit.installed import installed
from torqueaudit.model.judged.around import PluginTrouble
from torqueaudit.model.torque.units import NEWTON_METRE, TorqueUnit, UnitTable

if TYPE_CHECKING:
    from torqueaudit.model.procedure.kinds import OwnedKind

GROUP = "torqueaudit"


class PluginState(NamedTuple):
    """One plugin as `torqueaudit plugins` lists it."""

    name: str
    distribution: Distribution | None
    hooks: tuple[str, ...]
    state: str  # "loaded", "blocked" or what went wrong

    @property
    def version(self) -> str:
        """The version of the distribution it came with; slow, so only a listing asks."""
        return self.distribution.version if self.distribution else ""


class Plugins:
    """The plugins of one run: asked hook by hook, each implementation alone."""

    def __init__(self, entries: Iterable[EntryPoint], blocked: Iterable[str] = ()) -> None:
        self.manager = pluggy.PluginManager("torqueaudit")
        self.manager.add_hookspecs(hooks)
        self.blocked = frozenset(blocked)
        self.states: dict[str, PluginState] = {}
        for entry in sorted(entries, key=lambda each: (each.name, each.value)):
            self._load(entry)
        self.units = self._unit_table()

    @cached_property
    def kinds(self) -> "dict[str, OwnedKind]":
        """Every kind of measurement by name; not asked for before it is needed, as few commands measure anything."""
        return self._kind_table()

    def asked_through(self) -> Self:
        """The same plugins once everything that is asked late has been asked, so that no clash stays unseen."""
        self.kinds  # noqa: B018  # asked for what it finds wrong
        return self

    def trouble(self, expected: Collection[str] = (), needed: Collection[str] = ()) -> tuple[PluginTrouble, ...]:
        """Every plugin that is known to be broken, and every expected or needed one that is blocked or absent.

        Whether the kinds of a plugin clash is only looked at where one that gives any is `needed`.
        """
        if any("measurement_kinds" in self.states[name].hooks for name in needed if name in self.states):
            self.asked_through()
        broken = [PluginTrouble(s.name, s.state) for s in self.states.values() if s.state not in ("loaded", "blocked")]
        for name in sorted({*expected, *needed}):
            if name not in self.states:
                broken.append(PluginTrouble(name, "is expected by this book and not installed"))
            elif self.states[name].state == "blocked":
                broken.append(PluginTrouble(name, "is expected by this book and blocked"))
        return tuple(broken)

    def ask(self, hook: str, **arguments: Any) -> Iterator[tuple[str, Any]]:
        """Call each implementation of a hook alone; yield the plugin's name with its answer or Exception."""
        for implementation in getattr(self.manager.hook, hook).get_hookimpls():
            wanted = {name: arguments[name] for name in implementation.argnames}
            try:
                answer = implementation.function(**wanted)
            except (Exception, SystemExit) as error:  # a broken plugin is a finding, not the end of the run
                yield implementation.plugin_name, fault_of(error)
            else:
                if answer is not None:
                    yield implementation.plugin_name, answer

    def _load(self, entry: EntryPoint) -> None:
        if entry.name in self.states:
            self._note(entry.name, entry.dist, (), f"is installed twice; {entry.value} was not loaded")
        elif entry.name in self.blocked:
            self._note(entry.name, entry.dist, (), "blocked")
        else:
            self._register(entry)

    def _register(self, entry: EntryPoint) -> None:
        try:
            module = entry.load()
            _require_version(module)
            self.manager.register(module, entry.name)
            callers = self.manager.get_hookcallers(module) or []
            misspelt = [caller.name for caller in callers if not caller.has_spec()]
            if misspelt:
                raise ValueError(f"has no such hook: {', '.join(misspelt)}")  # noqa: TRY301  # one way out for every fault
        except (Exception, SystemExit) as error:  # whatever an import does wrong, the run goes on and says so
            if self.manager.has_plugin(entry.name):
                self.manager.unregister(name=entry.name)
            self._note(entry.name, entry.dist, (), f"cannot be loaded: {fault_of(error)}")
        else:
            self._note(entry.name, entry.dist, tuple(sorted(caller.name for caller in callers)), "loaded")

    def _note(self, name: str, origin: Distribution | None, hook_names: tuple[str, ...], state: str) -> None:
        self.states[name] = PluginState(name, origin, hook_names, state)

    def _unit_table(self) -> UnitTable:
        table = UnitTable([NEWTON_METRE])
        known: list[TorqueUnit] = [NEWTON_METRE]
        for name, answer in self.ask("torque_units"):
            try:
                if isinstance(answer, Exception):
                    raise answer  # noqa: TRY301  # told in the same words as a clash of spellings
                table = UnitTable([*known, *answer])
                known += answer
            except Exception as error:  # a unit that cannot be read must not take the others with it
                self._refuse(name, f"its units were refused: {error}")
        return table

    def _kind_table(self) -> "dict[str, OwnedKind]":
        """Every kind of measurement by name; a plugin whose kinds clash or are none is refused with all of them."""
        table: dict[str, OwnedKind] = {}
        for name, answer in self.ask("measurement_kinds"):
            from torqueaudit.model.procedure import kinds as measuring  # only where a plugin has any

            try:
                if isinstance(answer, Exception):
                    raise answer  # noqa: TRY301  # told in the same words as a clash of names
                measuring.require_kinds(answer, table)
                table.update({kind.name: measuring.OwnedKind(name, kind) for kind in answer})
            except Exception as error:  # a kind that cannot be read must not take the others with it
                self._refuse(name, f"its measurement kinds were refused: {error}")
        return table

    def _refuse(self, name: str, why: str) -> None:
        self._note(name, self.states[name].distribution, self.states[name].hooks, why)


def _require_version(module: object) -> None:
    """Raise ValueError where a plugin says that it was written for another version of the face (`REQUIRES = 1`)."""
    asked = getattr(module, "REQUIRES", hooks.API_VERSION)
    if asked != hooks.API_VERSION:
        raise ValueError(f"it was written for version {asked} of torqueaudit.plugin, and this is {hooks.API_VERSION}")


def fault_of(error: BaseException) -> Exception:
    """An error as one that may be passed on: a plugin that wants to end the program does not."""
    return error if isinstance(error, Exception) else RuntimeError("it wanted to end the program")


def load_plugins(blocked: Iterable[str] = ()) -> Plugins:
    """The installed plugins, by name in sorted order."""
    return Plugins(installed(GROUP), blocked)
