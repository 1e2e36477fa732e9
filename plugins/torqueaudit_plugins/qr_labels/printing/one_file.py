"""Labels as one checked file, for whoever asks by the hooks: the pages."""

from pathlib import Path

from torqueaudit.plugin import LabelContent, LabelFile, LabelStock
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, find_stock, stock_names


def bundled() -> list[LabelStock]:
    """The stocks that come with the program."""
    found = (find_stock(name) for name in stock_names())
    return [LabelStock(stock.name, stock.says, stock.per_page) for stock in found]


def made(contents: tuple[LabelContent, ...], stock_name: str, ending: str, start: int) -> LabelFile | None:
    """Labels on a stock of ours, or on one that a TOML file describes; None for any other stock or ending.

    Raises LabelRefused where a label cannot be printed or read, and for more of them than one file holds.
    """
    from torqueaudit_plugins.qr_labels.calc.places import place
    from torqueaudit_plugins.qr_labels.printing.make import PDF, PNG, checked  # loads pillow and the decoder

    own = Path(stock_name).suffix.lower() == ".toml"
    if ending not in {PDF, PNG} or not (own or stock_name in stock_names()):
        return None
    stock = find_stock(stock_name)
    files, says = checked(place(list(contents), stock, start), stock, ending)
    if len(files) > 1:
        raise LabelRefused(f"{len(contents)} labels are more than one file holds; print fewer at once.")
    return LabelFile(files[0], says)
