"""Finding, loading and isolating plugins.

Each plugin is imported, registered and called alone: one that breaks is told as trouble and the others go on.
"""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

import pluggy

from torqueaudit import hooks
from torqueaudit.installed import Offered

if TYPE_CHECKING:
    from importlib.metadata import Distribution


class PluginState(NamedTuple):
    """One plugin as `torqueaudit plugins` lists it."""

    name: str
    offered: Offered
    hooks: tuple[str, ...]
    state: str  # "loaded", "blocked" or what went wrong

    @property
    def distribution(self) -> "Distribution | None":
        """The distribution it came with; slow, so only a listing asks."""
        return self.offered.dist

    @property
    def version(self) -> str:
        """The version of the distribution it came with; "" where it came with none."""
        return self.distribution.version if self.distribution else ""


class Manager:
    """The plugins that could be loaded, and the state of every one that was found."""

    def __init__(self, entries: Iterable[Offered], blocked: Iterable[str] = ()) -> None:
        self.manager = pluggy.PluginManager("torqueaudit")
        self.manager.add_hookspecs(hooks)
        self.blocked = frozenset(blocked)
        self.states: dict[str, PluginState] = {}
        for entry in sorted(entries, key=lambda each: (each.name, each.value)):
            self._load(entry)

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

    def refuse(self, name: str, why: str) -> None:
        """Note that a plugin was loaded and gives something that cannot be used."""
        self._note(self.states[name].offered, self.states[name].hooks, why)

    def _load(self, entry: Offered) -> None:
        if entry.name in self.states:
            self._note(entry, (), f"is installed twice; {entry.value} was not loaded")
        elif entry.name in self.blocked:
            self._note(entry, (), "blocked")
        else:
            self._register(entry)

    def _register(self, entry: Offered) -> None:
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
            self._note(entry, (), f"cannot be loaded: {fault_of(error)}")
        else:
            self._note(entry, tuple(sorted(caller.name for caller in callers)), "loaded")

    def _note(self, entry: Offered, hook_names: tuple[str, ...], state: str) -> None:
        self.states[entry.name] = PluginState(entry.name, entry, hook_names, state)


def _require_version(module: object) -> None:
    """Raise ValueError where a plugin says that it was written for another version of the face (`REQUIRES = 1`)."""
    asked = getattr(module, "REQUIRES", hooks.API_VERSION)
    if asked != hooks.API_VERSION:
        raise ValueError(f"it was written for version {asked} of torqueaudit.plugin, and this is {hooks.API_VERSION}")


def fault_of(error: BaseException) -> Exception:
    """An error as one that may be passed on: a plugin that wants to end the program does not."""
    return error if isinstance(error, Exception) else RuntimeError("it wanted to end the program")
