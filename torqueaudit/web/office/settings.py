"""The settings of the office: each in words, with what it means, and changed alone, behind what that would change."""

from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from flask import request

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.judged.sentences import with_capital
from torqueaudit.model.register.setting_words import GROUPS, WORDS, value_text
from torqueaudit.model.register.settings import Settings
from torqueaudit.web.office.told import AtField, Sent, page_of_office, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.register.printing import label_stocks
from torqueaudit.workshop.register.settings import require_possible, settle

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

ASK = "ask"  # the act that changes nothing, and shows what would change
TO = "to"  # the field that holds what is chosen
OTHERWISE = "this was changed meanwhile; look at it as it is now"
SAME = "it is so already, so nothing would change"


def add_settings_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the list of settings, and the page of each."""

    @app.get("/office/settings")
    def office_settings() -> str:
        """List every setting with its value in words."""
        now = workshop.settings
        groups = {
            group: [(name, words.called, _says(name, getattr(now, name))) for name, words in settings.items()]
            for group, settings in GROUPS.items()
        }
        return page_of_office(workshop, "settings.html", groups=groups)

    @app.get("/office/settings/<name>")
    def office_setting(name: str) -> "ResponseReturnValue":
        """Show what a setting means, and, where a value was chosen, what it would change."""
        _require_known(name)
        typed = Typed(request.args)
        if typed.one("act") != ASK:
            return _page(workshop, name)
        try:
            value = _possible(workshop, name, typed)
        except Refused as refused:
            return _page(workshop, name, Sent(typed, str(refused), TO)), 422
        return _page(workshop, name, value=value)

    @app.post("/office/settings/<name>")
    def office_setting_chosen(name: str) -> "ResponseReturnValue":
        """Change a setting, and show it as it is then."""
        _require_known(name)
        return told(workshop, "", {"settle": _settled}, _page, workshop, name)


def _require_known(name: str) -> None:
    if name not in WORDS:
        raise Refused(f"{name}: no such setting")


def _page(workshop: "Workshop", name: str, sent: Sent | None = None, value: Any = None) -> str:
    now = getattr(workshop.settings, name)
    chosen = now if value is None else value
    return page_of_office(
        workshop,
        "setting.html",
        sent,
        name=name,
        words=WORDS[name],
        now=_says(name, now),
        was=_fields(now),
        options=_options(workshop, name, now),
        several=isinstance(now, tuple),
        number=isinstance(now, int | Decimal) and not isinstance(now, bool),
        chosen=sent.typed.every(TO) if sent else _fields(chosen),
        would="" if value is None else _says(name, value),
        to=() if value is None else _fields(value),
    )


def _settled(workshop: "Workshop", name: str, typed: Typed, say: Say) -> str:
    value = _read(name, typed)
    sent_before = workshop.book.of_act(typed.one("id"))
    if not sent_before and typed.every("was") != _fields(getattr(workshop.settings, name)):
        raise Refused(OTHERWISE)
    settle(workshop, {name: list(value) if isinstance(value, tuple) else value}, say)
    return f"office/settings/{name}"


def _possible(workshop: "Workshop", name: str, typed: Typed) -> Any:
    """The value that a form asks about. Raises Refused for one that cannot be, and for the one that stands."""
    value = _read(name, typed)
    require_possible(workshop, {name: value})
    if _fields(value) == _fields(getattr(workshop.settings, name)):
        raise AtField(TO, SAME)
    return value


def _read(name: str, typed: Typed) -> Any:
    """What was typed as a value of the kind that a setting has. Raises Refused."""
    kind = getattr(Settings(), name)
    if isinstance(kind, bool):
        return typed.chosen(TO, ("yes", "no")) == "yes"
    if isinstance(kind, int):
        return typed.number(TO)
    if isinstance(kind, tuple):
        return tuple(sorted(typed.every(TO)))
    return typed.one(TO)


def _says(name: str, value: Any) -> str:
    """A value in words; plugins as they are called here, which nobody types."""
    return value_text(name, [each.replace("_", " ") for each in value] if isinstance(value, tuple) else value)


def _fields(value: Any) -> tuple[str, ...]:
    """A value as the fields of a form hold it; none of it where nothing is chosen."""
    if isinstance(value, bool):
        return ("yes" if value else "no",)
    if isinstance(value, tuple | list):
        return tuple(value)
    return tuple(filter(None, (f"{value:f}" if isinstance(value, Decimal) else str(value),)))


def _options(workshop: "Workshop", name: str, now: Any) -> Mapping[str, str]:
    """What there is to choose from; nothing where a value is typed."""
    words = WORDS[name]
    if isinstance(now, bool):
        return {"yes": with_capital(words.yes), "no": with_capital(words.no)}
    if isinstance(now, tuple):
        return {each: each.replace("_", " ") for each in sorted({*workshop.plugins.states, *now})}
    if name == "label_stock":
        known = {each.name: each.says for each in label_stocks(workshop)[0].values()}
        return {"": words.empty, **({now: now} if now and now not in known else {}), **known}
    return {}
