"""A reminder as a card of A6 in landscape (ISO 216), with the drawn lines, and a code that opens the page."""

from collections.abc import Iterator
from html import escape
from importlib import resources

from torqueaudit.plugin import Reminder
from torqueaudit.plugin.commands import Handed, set_page, text_symbol
from torqueaudit_plugins.mail.words import LOOKS, MANUAL, Paragraph, body, subject_of

_FONTS = {"font/plain": "DejaVuSans.ttf", "font/bold": "DejaVuSans-Bold.ttf"}
_STYLE = """
@font-face { font-family: own; src: url("card:font/plain") }
@font-face { font-family: own; font-weight: bold; src: url("card:font/bold") }
@page { size: 148mm 105mm; margin: 7mm }
body { font: 3mm/1.32 own; margin: 0 }
h1 { font-size: 5mm; line-height: 1.15; margin: 0 0 2mm }
h2 { font-size: 3.3mm; margin: 1.6mm 0 .2mm }
p { margin: 0 }
table { border-collapse: collapse; width: 100% }
td { vertical-align: top; padding: 0 }
.code { width: 33mm; padding-left: 4mm }
.code svg { width: 33mm; height: 33mm }
.code p { font-size: 2.5mm; word-break: break-all }
.code .big { font-size: 3.6mm; font-weight: bold }
.look { page-break-inside: avoid }
.look td { vertical-align: middle; padding: .6mm 2mm .6mm 0 }
.look .drawn { width: 10mm }
.look svg { width: 10mm; height: 11mm }
"""
_NUT = (
    '<path d="M27 16 21.5 25.5h-11L5 16l5.5-9.5h11z" fill="#fff" stroke="#000"/>'
    '<circle cx="16" cy="16" r="4.6" fill="#bbb"/>'
)
_LINE = 'fill="none" stroke="#000" stroke-width="3"'
_WHOLE = f'{_NUT}<path d="m10 30 12-28" {_LINE}/>'
_BROKEN = (
    f'<path d="m10 30 1.1-2.6M20.9 4.6 22 2" {_LINE}/>'
    f'<g transform="rotate(38 16 16)">{_NUT}<path d="m12.5 24 7-16" {_LINE}/></g>'
)


def card_of(reminder: Reminder) -> bytes:
    """The card as a tagged PDF. Raises NotSet."""

    def hand(name: str) -> Handed | None:
        if name not in _FONTS:
            return None
        return Handed((resources.files("torqueaudit_labels") / "fonts" / _FONTS[name]).read_bytes(), "font/ttf")

    return set_page(_page(reminder), "card", hand)


def _page(reminder: Reminder) -> str:
    title, view = escape(subject_of(reminder)), reminder.view
    text = "".join(_block(each) for each in body(reminder))
    code = text_symbol(reminder.address, "The page of your motorcycle")
    call = f'<h2>Call us</h2><p class="big">{escape(view.telephone)}</p>' if view.telephone else ""
    beside = f"{code}<p>{escape(reminder.address)}</p>{call}<p>{escape(view.workshop)}</p><p>{MANUAL}</p>"
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
        f'<meta name="dcterms.created" content="{reminder.asked_at.isoformat()}"><style>{_STYLE}</style></head>'
        f'<body><h1>{title}</h1><table><tr><td>{text}</td><td class="code">{beside}</td></tr></table></body></html>'
    )


def _block(each: Paragraph) -> str:
    heading = f"<h2>{escape(each.heading)}</h2>" if each.heading else ""
    said = [sentence for sentence in each.sentences if sentence not in LOOKS]
    drawn = "".join(_drawn()) if said != list(each.sentences) else ""
    return f"{heading}<p>{' '.join(map(escape, said))}</p>{drawn}"


def _drawn() -> Iterator[str]:
    """The two lines with what they mean, and what an owner never does."""
    whole, broken, only = map(escape, LOOKS)
    yield '<table class="look"><tr>'
    for drawing, says in ((_WHOLE, whole), (_BROKEN, broken)):
        yield f'<td class="drawn"><svg viewBox="3 1 26 30">{drawing}</svg></td><td>{says}</td>'
    yield f"</tr></table><p><b>{only}</b></p>"
