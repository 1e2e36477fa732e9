"""What is stored of a calibration, under the keys that books hold; never edited."""

from decimal import Decimal

from torqueaudit.model.torque.correction import Fitted, plain_fitted
from torqueaudit.model.wrench.entries import plain_paper, plain_points
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.wrench import Paper


def test_a_point_is_stored_with_what_its_certificate_states() -> None:
    """A point in N·m that states nothing more, and one of a dial in lbf·ft that states everything."""
    bare = Point(shown_nm=Decimal(100), references_nm=(Decimal("97.2"), Decimal("98.1")))
    whole = Point(
        shown_nm=Decimal("108.5"),
        references_nm=(Decimal(107),),
        expanded=Decimal("0.014"),
        interval=Decimal("0.037"),
        loading_point=Decimal("0.001"),
        unit="lbf·ft",
        unit_nm=Decimal("1.356"),
    )
    expected = [
        {"shown_nm": "100", "references_nm": ["97.2", "98.1"]},
        {
            "shown_nm": "108.5",
            "references_nm": ["107"],
            "expanded": "0.014",
            "interval": "0.037",
            "loading_point": "0.001",
            "unit": "lbf·ft",
            "unit_nm": "1.356",
        },
    ]

    assert expected == plain_points([bare, whole])


def test_a_paper_and_an_adapter_are_stored_by_their_own_keys() -> None:
    """By digest, suffix and size; by kind and attributes as written."""
    assert {"digest": "ab", "suffix": ".pdf", "size": 12} == plain_paper(Paper("ab", ".pdf", 12))
    assert {"kind": "adapter", "attributes": {"length_mm": "50"}} == plain_fitted(
        Fitted("adapter", {"length_mm": "50"})
    )
