"""Labels to print: invented vehicles, tokens made from a fixed chance."""

import random
from collections.abc import Callable

import pytest

from torqueaudit.model.register.token import grouped, new_token
from torqueaudit.model.shown.label import LabelContent, LabelLine

Content = Callable[..., LabelContent]


@pytest.fixture
def content() -> Content:
    """Make one label's content; every word can be given."""

    def make(
        figure: str = "12",
        vehicle: str = "bike-3",
        recheck: str = "2031-04-16",
        base: str = "http://yard.local:8080",
        *,
        demo: bool = False,
    ) -> LabelContent:
        token = new_token(random.Random(figure + vehicle))
        lines = (LabelLine("Vehicle", vehicle), LabelLine("Re-check by", recheck), LabelLine("Opened", "2031-04-02"))
        return LabelContent(
            title=f"job {figure}",
            address=f"{base}/r/{token}",
            figure=figure,
            token=grouped(token),
            lines=lines,
            demo=demo,
        )

    return make
