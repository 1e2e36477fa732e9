"""What plugins add to a record, as a phone shows it."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.web.conftest import Answer, Yard

Get = Callable[..., "Answer"]
TITLE = "<h2>Why to come back after the first ride</h2>"


def test_a_panel_is_set_as_text_and_never_as_markup(
    live: str, get: Get, yard: "Yard", procedures: Path, tmp_path: Path
) -> None:
    """A fastener may have any name; the bundled plugin of clamp loads puts it into its row."""
    text = (procedures / "final-drive.toml").read_text(encoding="utf-8")
    path = tmp_path / "marked.toml"
    path.write_text(text.replace('name = "rear axle nut"', 'name = "axle <b>nut</b> & washer"'), encoding="utf-8")
    job = yard.open(path)
    before = get(f"{live}r/{yard.token(job)}/record").text
    yard.work(job)
    page = get(f"{live}r/{yard.token(job)}/record").text
    panel = page.partition(TITLE)[2].partition("</section>")[0]

    assert (0, 1) == (before.count(TITLE), page.count(TITLE))
    assert "<tr><td>axle &lt;b&gt;nut&lt;/b&gt; &amp; washer<td>about 34 kN (24 … 44)<td>2.9 kN, 8 % of it" in panel
    assert "<tr><th>fastener<th>clamp load, estimated<th>expected loss" in panel
    assert ["never measured" in panel, "<b>" in panel] == [True, False]
