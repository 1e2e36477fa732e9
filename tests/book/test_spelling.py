"""Words meet however they are spelled: by the Unicode Standard, and as names are written without their accents."""

import pytest

from torqueaudit.book.spelling import signless, spellings


def meet(typed: str, told: str) -> bool:
    """Whether what is typed is found in what was told."""
    return any(signless(one) in signless(other) for one in spellings(typed) for other in spellings(told))


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        # Chapter 3.13 of the Unicode Standard, toCasefold.
        ("ÄRGER", "ärger"),
        ("STRASSE", "Straße 7"),
        ("ΚΌΚΚΙΝΟΣ", "κόκκινος"),
        ("blue", "Kestrel 500, BLUE"),
        # Annex 15 of the Unicode Standard: NFKC and NFKD. A letter and two dots, as some keyboards send it.
        ("a\u0308rger", "Ärger"),
        ("\uff21\uff22\uff11\uff12", "AB12"),
        ("ﬁn", "FIN"),
        # Without their accents: the base letters of the canonical decompositions (annex 15).
        ("arger", "Ärger"),
        ("cafe", "Café"),
        ("Łodz", "Łódź"),
        # DIN 5007-2, as in telephone books: ä is ae, ö is oe, ü is ue.
        ("aerger", "Ärger"),
        ("Müller", "Mueller"),
        ("mueller", "MÜLLER"),
        # Letters that no accent makes: common practice, no source.
        ("sorensen", "Sørensen"),
        ("soerensen", "Sørensen"),
        ("Sørensen", "Soerensen"),
        ("Åse", "Aase"),
        # Signs are spaces.
        ("x-ab_12", "X AB/12"),
        ("axle nut", "axle-nut"),
    ],
    ids=ascii,
)
def test_words_meet_however_they_are_spelled(typed: str, told: str) -> None:
    """In both directions of what is typed and what was told before."""
    assert meet(typed, told)


@pytest.mark.parametrize(("typed", "told"), [("arge", "anger"), ("muller", "Miller"), ("ab 12", "ab 2")])
def test_other_words_do_not_meet(typed: str, told: str) -> None:
    """Whatever is left out of a spelling, letters and digits are not."""
    assert not meet(typed, told)
