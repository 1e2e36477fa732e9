"""All that is asked of the look of one page that is open: rules, targets, figures, focus, large text.

Sources: WCAG 2.2 of W3C, levels A and AA, by the rules of axe-core; 7:1 is its criterion 1.4.6, which is AAA; 200 % is
1.4.4. Targets of 48 px are more than its 2.5.8 asks: for a hand in a glove, common practice, no source.
"""

import os
from pathlib import Path
from typing import Any

import axe_playwright_python

from .device import DESK, PHONE, Device

RULES = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]
# The least of a target, and of the number to set, in CSS px.
BOUNDS = {"target": 48, "figure": 48}
SCREENS = Path(__file__).parents[3] / "build" / "screens"
_AXE = Path(axe_playwright_python.__file__).with_name("axe.min.js").read_text(encoding="utf-8")
MOST_PAGE = 60_000  # bytes, without style, script and photos
# A page whose clock a test has set tells no such figure: as much as stands on it now then.
_SIZE = "performance.getEntriesByType('navigation')[0]?.encodedBodySize ?? document.documentElement.outerHTML.length"
_PLACED = "place => document.querySelectorAll('form .go').forEach(each => { each.style.position = place })"
_MEASURE = Path(__file__).with_name("measure.js").read_text(encoding="utf-8")
# What axe-core sets itself, but that one letter is text too, and that large figures are held to 7:1 as small ones are.
_TEXT = {"ignoreUnicode": True, "ignoreLength": True, "boldValue": 700, "boldTextPt": 14, "largeTextPt": 18}
_PAIR = {"normal": {"expected": 7}, "large": {"expected": 7}}
_LEAST = {"normal": {"expected": 4.5}, "large": {"expected": 3}}
_CONFIGURED = {
    "checks": [
        {"id": name, "options": {**_TEXT, "contrastRatio": ratio, "pseudoSizeThreshold": 0.25}}
        for name, ratio in (("color-contrast", _LEAST), ("color-contrast-enhanced", _PAIR))
    ]
}
PROOF = "TORQUEAUDIT_PROOF" in os.environ
_CONTRAST = {"color-contrast", "color-contrast-enhanced"}


def faults_of(device: Device, name: str) -> list[str]:
    """What is wrong with the page that a device shows, at two sizes, light and dark.

    The rules are the same at both sizes, so that they are asked once more at the wide one in `make proof` alone.
    """
    page, said = device.page, [f"{size} bytes" for size in [device.page.evaluate(_SIZE)] if size > MOST_PAGE]
    shoot(device, name)
    page.emulate_media(color_scheme="dark")
    shoot(device, f"{name}-dark")
    page.evaluate(_AXE)
    page.evaluate("told => axe.configure(told)", _CONFIGURED)
    page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")
    said += [f"dark: {each}" for each in (*_contrast(page), *page.evaluate(_MEASURE, BOUNDS))]
    page.emulate_media(color_scheme="light")
    said += [*_rules(page), *page.evaluate(_MEASURE, BOUNDS)]
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    said += [f"200 %: {each}" for each in page.evaluate(_MEASURE, BOUNDS)]
    page.evaluate("document.documentElement.style.fontSize = ''")
    page.set_viewport_size(DESK)
    said += [f"wide: {each}" for each in (*(_rules(page) if PROOF else ()), *page.evaluate(_MEASURE, BOUNDS))]
    page.set_viewport_size(PHONE)
    page.emulate_media(color_scheme="null")
    return [f"{name}: {each}" for each in said]


def shoot(device: Device, name: str) -> None:
    """In `make proof` a picture of the whole page in build/screens, for people to look at; no test reads it.

    What sticks to the screen lies in its place.
    """
    if not PROOF:
        return
    SCREENS.mkdir(parents=True, exist_ok=True)
    device.page.evaluate(_PLACED, "static")
    device.page.screenshot(path=SCREENS / f"{name}.png", full_page=True)
    device.page.evaluate(_PLACED, "")


def _rules(page: Any) -> list[str]:
    """What breaks a rule, and what text cannot be told from its ground."""
    asked = {
        "runOnly": {"type": "tag", "values": RULES},
        "rules": {"color-contrast-enhanced": {"enabled": True}},
        "resultTypes": ["violations", "incomplete"],
    }
    return _told(page.evaluate("asked => axe.run(asked)", asked))


def _contrast(page: Any) -> list[str]:
    asked = {"runOnly": sorted(_CONTRAST), "resultTypes": ["violations", "incomplete"]}
    return _told(page.evaluate("asked => axe.run(asked)", asked))


def _told(found: dict[str, Any]) -> list[str]:
    """Numbers in a drawing, which axe-core cannot judge, are judged in measure.js."""
    wrong = [*found["violations"], *(each for each in found["incomplete"] if each["id"] in _CONTRAST)]
    return [
        f"{each['id']}: {node['html'][:90]}, {_why(node)}"
        for each in wrong
        for node in each["nodes"]
        if not node["html"].startswith("<text")
    ]


def _why(node: dict[str, Any]) -> str:
    return "; ".join(each["message"] for each in (*node["any"], *node["all"], *node["none"]))
