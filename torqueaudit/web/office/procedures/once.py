"""Forms of drafts that are sent twice, as by a double click: told once, and led on as the first time.

What is recorded knows the id of its form. A draft is no record, so the server remembers its forms until it stops.
"""

from hashlib import sha256
from threading import Lock
from typing import TYPE_CHECKING

from flask import request

from torqueaudit.web.office.told import Tell

if TYPE_CHECKING:
    from torqueaudit.model.act import Say
    from torqueaudit.web.typed import Typed

MOST = 500  # forms that are remembered


class Once:
    """Where each form led to that was told, by all that stood in it: its own id, what it saw, and what was typed."""

    def __init__(self) -> None:
        self._lock = Lock()  # the second of two waits until the first has led on
        self._led: dict[str, str] = {}

    def told(self, tell: Tell) -> Tell:
        """What tells a form, so that one sent twice is told once; one that was refused is told again."""

        def tell_once(typed: "Typed", say: "Say") -> str:
            form = sha256(repr((say.by, request.path, *typed.each())).encode()).hexdigest()
            with self._lock:
                if form not in self._led:
                    self._led[form] = tell(typed, say)
                    for oldest in list(self._led)[:-MOST]:
                        del self._led[oldest]
                return self._led[form]

        return tell_once
