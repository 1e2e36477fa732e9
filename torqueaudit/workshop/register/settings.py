"""What a workshop keeps: its settings, its people, the vehicles it sees."""

import re
from collections.abc import Iterable, Mapping
from typing import Any
from urllib.parse import urlsplit

from torqueaudit.ledger.entry import Draft, subject_of_site
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.nearest import did_you_mean, near
from torqueaudit.model.numbers import read_decimal
from torqueaudit.model.register.bounds import NUMBERS
from torqueaudit.model.register.permits import FOREMAN, ActName
from torqueaudit.model.register.settings import Settings, told_settings
from torqueaudit.model.register.zones import zone_of
from torqueaudit.model.shown.label import allows_capitals
from torqueaudit.read.mail import read_mail_address
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.printing import require_stock
from torqueaudit.workshop.signing.pins import has_pin

ADDRESSES = ("base_address", "workshop_address")


def settle(workshop: Workshop, chosen: Mapping[str, Any], say: Say) -> None:
    """Record choices of the workshop (see `Settings`). Raises Refused for a choice that is none."""
    numbers = require_possible(workshop, chosen)
    said = {**chosen, **{name: number for name, number in numbers.items() if isinstance(chosen[name], str)}}

    def build(attempt: Attempt) -> list[Draft]:
        site = subject_of_site(workshop.book.site)
        # Once more, of what is read here: somebody may choose an address at the same moment.
        _require_path_for_labels(told_settings(attempt.entries(site))[0], chosen)
        return [attempt.draft(site, "settled.1", said)]

    record(workshop, say, ActName.SETTLE, "site", said, build)


def require_possible(workshop: Workshop, chosen: Mapping[str, Any]) -> dict[str, str]:
    """Refuse a choice that is none, and give its numbers as the ledger holds them; nothing is recorded."""
    if (zone := chosen.get("zone")) is not None:
        with refused_if_unreadable():
            zone_of(zone)
    _require_addresses(chosen)
    numbers = {name: _number(name, chosen[name]) for name in NUMBERS if name in chosen}
    _require_installed(workshop, chosen.get("blocked_plugins", ()))
    require_stock(workshop, chosen.get("label_stock", ""))
    if chosen.get("pin_at_terminal"):
        _require_a_foreman_with_a_pin(workshop)
    _require_path_for_labels(workshop.settings, chosen)
    return numbers


def _require_addresses(chosen: Mapping[str, Any]) -> None:
    """Refuse an address that nobody could open or write to; none is chosen by an empty text, but that of labels."""
    for name in ADDRESSES:
        address = chosen.get(name)
        if address is not None and (address or name == "base_address"):
            _require_address(address)
    if chosen.get("mail_address"):
        with refused_if_unreadable():
            read_mail_address(chosen["mail_address"])


def _require_address(address: str) -> None:
    """Refuse an address that no phone could open: no page is found by it, and no label leads anywhere."""
    if not address.startswith(("http://", "https://")):
        raise Refused(f"{address}: an address begins with http:// or https://")
    try:
        parts = urlsplit(address)
        named = bool((parts.hostname or "").encode("idna")) and parts.port != 0 and not re.search(r"\s", address)
    except ValueError:  # brackets that are never closed, a port that is none, a name that no network carries
        named = False
    if not named:
        raise Refused(f"{address}: no phone can open this address; write it as http://192.168.1.20:8080")


def _require_installed(workshop: Workshop, names: Iterable[str]) -> None:
    """Refuse to block a plugin that there is not."""
    unknown = sorted(set(names) - set(workshop.plugins.states))
    if not unknown:
        return
    known = workshop.plugins.states
    if near(unknown[0], known):
        raise Refused(f"{unknown[0]}: no such plugin is installed; {did_you_mean(unknown[0], known)}")
    raise Refused(f"{', '.join(unknown)}: no such plugin is installed", See(Topic.PLUGINS_INSTALLED))


def _require_a_foreman_with_a_pin(workshop: Workshop) -> None:
    """Refuse to ask everybody for a PIN where no foreman has one, for then nobody could record anything."""
    foremen = [each for each, _ in people(workshop) if FOREMAN in each.roles and each.works_on(workshop.today())]
    if not any(has_pin(workshop, each.number) for each in foremen):
        raise Refused("no foreman has a PIN yet, so nobody could say anything any more; set the foreman's PIN first")


def _number(name: str, value: str | int) -> str:
    """A number among the settings as the ledger holds it. Raises Refused for one out of its bounds."""
    with refused_if_unreadable():
        number = read_decimal(str(value), name.replace("_", " "), NUMBERS[name].highest)
    if not NUMBERS[name].lowest <= number <= NUMBERS[name].highest:
        raise Refused(f"{value}: {NUMBERS[name].says}")
    return f"{number:f}"


def _require_path_for_labels(now: Settings, chosen: Mapping[str, Any]) -> None:
    """Refuse labels in capitals where these would change the path of an address."""
    if chosen.keys().isdisjoint({*ADDRESSES, "upper_case_labels"}):
        return
    for address in (str(chosen.get(name, getattr(now, name))) for name in ADDRESSES):
        if chosen.get("upper_case_labels", now.upper_case_labels) and not allows_capitals(address):
            raise Refused(
                f"{address}: labels in capitals would write its path in capitals too, which a server may not know",
                See(Topic.CAPITALS),
            )
