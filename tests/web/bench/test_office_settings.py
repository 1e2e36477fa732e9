"""Settings on the pages of the office: in words, and changed one by one behind what that would change."""

import re
from typing import Any

from torqueaudit.model.act import Say
from torqueaudit.model.register.setting_words import WORDS
from torqueaudit.workshop.register.settings import settle

AS_A_PROGRAM = re.compile(r"\b(False|True|None)\b|\[|\]|\(\)")


def settled(yard: Any) -> list[dict[str, Any]]:
    """What was chosen, choice by choice."""
    return [dict(each.said) for each in yard.workshop.book.entries("site/YARD") if each.what == "settled"]


def test_every_setting_is_read_in_words(desk: Any) -> None:
    """None as a program writes it; each page opens."""
    desk.open("office").follow("Settings")
    assert "When an entry is late 720 minutes" in desk.text
    assert not AS_A_PROGRAM.search(desk.text)
    for name in WORDS:
        desk.open(f"office/settings/{name}")
        assert (200, None) == (desk.status, AS_A_PROGRAM.search(desk.text)), name


def test_one_is_changed_behind_what_that_would_change(desk: Any, yard: Any) -> None:
    """Asking changes nothing; the form sent twice tells it once."""
    before = len(settled(yard))
    desk.open("office/settings/late_minutes").tap("Show what that would change", to="90")
    assert (200, before) == (desk.status, len(settled(yard)))
    assert "When an entry is late: 90 minutes, in place of 720 minutes." in desk.text
    (form, button), page = desk.form_of("Change it"), desk.address
    for _ in range(2):
        desk.address = page
        desk.send(form, button, {})
        assert (200, True) == (desk.status, "90 minutes" in desk.text)
    assert [{"late_minutes": 90}] == settled(yard)[before:]
    assert 90 == yard.workshop.settings.late_minutes


def test_each_kind_of_value_is_chosen(desk: Any, yard: Any) -> None:
    """A choice of two, a share in percent, a text that is taken away, plugins, and a label paper."""
    for name, to in (
        ("single_handed", "yes"),
        ("own_tolerance_percent", "7,5"),
        ("telephone", "+99 555 0100"),
        ("telephone", ""),
        ("expected_plugins", "qr_labels"),
        ("label_stock", "a4-3x8"),
        ("zone", "Europe/Paris"),
    ):
        desk.open(f"office/settings/{name}").tap("Show what that would change", to=to).tap("Change it")
        assert 200 == desk.status, (name, desk.text)
    now = yard.workshop.settings

    assert (True, "7.5", "") == (now.single_handed, str(now.own_tolerance_percent), now.telephone)
    assert (("qr_labels",), "a4-3x8", "Europe/Paris") == (now.expected_plugins, now.label_stock, now.zone)


def test_what_cannot_be_is_said_at_the_field(desk: Any, yard: Any) -> None:
    """And what is so already; nothing is recorded, and what was typed stays."""
    before = len(settled(yard))
    for name, to, says in (
        ("calibration_months", "36", "36: a calibration holds 1 to 24 months"),
        ("zone", "Vienna", "Vienna"),
        ("base_address", "yard.example", "yard.example: an address begins with http:// or https://"),
        ("late_minutes", "two", "Two: write a whole number in digits"),
        ("late_minutes", "720", "It is so already"),
    ):
        desk.open(f"office/settings/{name}").tap("Show what that would change", to=to)
        assert (422, True) == (desk.status, f'id="ask-to-wrong">{says}'.lower() in desk.page.lower()), (name, desk.page)
        assert f'value="{to}"' in desk.page
    assert before == len(settled(yard))


def test_what_was_changed_meanwhile_is_not_overwritten(desk: Any, yard: Any) -> None:
    """Somebody else chooses another value between asking and changing."""
    desk.open("office/settings/late_minutes").tap("Show what that would change", to="90")
    settle(yard.workshop, {"late_minutes": 60}, Say("P-1"))
    desk.tap("Change it")
    assert (422, True) == (desk.status, "This was changed meanwhile" in desk.text)
    assert 60 == yard.workshop.settings.late_minutes


def test_no_setting_of_that_name(desk: Any) -> None:
    """What nobody chooses here has no page."""
    assert 404 == desk.open("office/settings/demo").status
