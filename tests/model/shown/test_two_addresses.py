"""What owners open and the workshop's own pages may have two addresses: each sign says the right one."""

import pytest

from torqueaudit.model.register.settings import Settings
from torqueaudit.model.shown.label import JOB, PERSON, WRENCH, base_of, bases_of, is_own, record_address

HOME, YARD = "https://labels.example/yard/", "http://192.168.77.1:8080"
TWO = Settings(base_address=HOME, workshop_address=YARD)


def test_a_jobs_label_is_opened_from_home_and_all_else_in_the_workshop() -> None:
    """A wrench and a person's tag lead to pages that only the workshop has."""
    said = {way: record_address(TWO, way, "x1") for way in (JOB, WRENCH, PERSON)}

    expected = {JOB: "https://labels.example/yard/r/x1", WRENCH: f"{YARD}/w/x1", PERSON: f"{YARD}/sign/x1"}
    assert expected == said
    assert ("https://labels.example/yard", YARD) == bases_of(TWO)


@pytest.mark.parametrize("way", [JOB, WRENCH, PERSON])
def test_a_book_of_before_has_one_address(way: str) -> None:
    """What nobody chose is the address of the labels."""
    one = Settings(base_address="http://yard.local:8080/")

    assert "http://yard.local:8080" == base_of(one, way)
    assert ("http://yard.local:8080",) == bases_of(one)


def test_both_are_the_books_own() -> None:
    """In any case of letters, and no other address that begins alike."""
    own = ("https://LABELS.example/YARD/r/x1", f"{YARD}/w/w-1".upper())

    assert [True, True] == [is_own(TWO, each) for each in own]
    assert not is_own(TWO, "https://labels.example/yard2/r/x1")
    assert not is_own(TWO, "http://192.168.77.1:80801/w/w-1")


def test_capitals_follow_each_address() -> None:
    """A path of small letters stays as it is written; the other address is in capitals."""
    capitals = TWO._replace(upper_case_labels=True)

    assert "https://labels.example/yard/r/x1" == record_address(capitals, JOB, "X1")
    assert f"{YARD}/W/W-1".upper() == record_address(capitals, WRENCH, "w-1")
