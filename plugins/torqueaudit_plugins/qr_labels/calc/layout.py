"""Where everything stands on one label, in whole printer dots, so that a sheet and a roll are laid out alike."""

from torqueaudit.plugin import LabelContent
from torqueaudit_plugins.qr_labels.calc.checklist import filled_list
from torqueaudit_plugins.qr_labels.calc.frame import Layout
from torqueaudit_plugins.qr_labels.calc.sentences import filled_sentences
from torqueaudit_plugins.qr_labels.calc.stock import TOKEN, LabelRefused, Stock
from torqueaudit_plugins.qr_labels.calc.tag import Small, best_tag

_SHAPES = {"tag": best_tag, "card": filled_sentences, "list": filled_list}


def lay_out(content: LabelContent, stock: Stock) -> Layout:
    """Lay out one label. Raises LabelRefused when it cannot be printed large enough to be read."""
    shape = _SHAPES.get(content.shape)
    if shape is None:
        raise LabelRefused(f"{content.title}: there is no shape {content.shape!r}; known are {', '.join(_SHAPES)}.")
    if stock.words != TOKEN:
        return shape(content, stock)
    if content.shape != "tag":
        raise LabelRefused(
            f"{content.title}: stock {stock.name} has room for the symbol and the token alone; take a larger label."
        )
    return Small(content, stock).filled()
