"""What Flask compiles of the pages, kept for the next server of the same process.

A user starts one server a day, and the suite starts hundreds in each of its processes: without this, compiling the same
addresses and templates takes half the time of the tests that ask them.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from flask import Flask
from jinja2.bccache import Bucket, BytecodeCache
from werkzeug.routing import Rule


class KeptTemplates(BytecodeCache):
    """Templates in memory, each under its name and the digest of its text."""

    def __init__(self) -> None:
        self._compiled: dict[tuple[str, str], bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Give what was compiled of this very text."""
        if compiled := self._compiled.get((bucket.key, bucket.checksum)):
            bucket.bytecode_from_string(compiled)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what was compiled."""
        self._compiled[bucket.key, bucket.checksum] = bucket.bytecode_to_string()


@contextmanager
def pages_compiled_once() -> Iterator[None]:
    """Compile no template and no address of a page twice."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Flask, "jinja_options", {**Flask.jinja_options, "bytecode_cache": KeptTemplates()})
        patch.setattr(Rule, "_compile_builder", _kept(Rule._compile_builder))  # noqa: SLF001  # Werkzeug has no other way
        yield


def _kept(build: Callable[[Rule, bool], Callable[..., Any]]) -> Callable[[Rule, bool], Callable[..., Any]]:
    """What writes an address takes the rule and its converters when it is called, so that equal rules may share it."""
    written: dict[tuple[object, ...], Callable[..., Any]] = {}

    def compile_builder(rule: Rule, append_unknown: bool = True) -> Callable[..., Any]:  # noqa: FBT001, FBT002  # Werkzeug's
        if rule.defaults:  # written into what is compiled
            return build(rule, append_unknown)
        key = (rule.rule, *rule._trace, append_unknown)  # noqa: SLF001  # Werkzeug's
        if key not in written:
            written[key] = build(rule, append_unknown)
        return written[key]

    return compile_builder
