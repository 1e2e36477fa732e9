"""Photos of labels sent to the page, and the page that a wrench's label opens; over real HTTP."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

from torqueaudit.web.app import create_app
from torqueaudit.web.bodies import MOST_PHOTO

from .label_photo import photo_of

if TYPE_CHECKING:
    from pathlib import Path

BORDER = "--a-border-no-photo-holds"


def form(data: bytes, name: str = "photo") -> tuple[dict[str, str], bytes]:
    """The headers and the body of a form with one file."""
    head = f'--{BORDER}\r\nContent-Disposition: form-data; name="{name}"; filename="p.jpg"\r\n\r\n'.encode()
    body = head + data + f"\r\n--{BORDER}--\r\n".encode()
    return {"Content-Type": f"multipart/form-data; boundary={BORDER}"}, body


@pytest.fixture
def job(yard: Any, procedures: "Path") -> str:
    return str(yard.open(procedures / "front-wheel.toml"))


@pytest.fixture
def send(live: str, get: Callable[..., Any]) -> Callable[..., Any]:
    """Send a photo."""
    return lambda data, name="photo": get(f"{live}photo", *form(data, name))


def test_a_photo_opens_its_record(yard: Any, job: str, send: Callable[..., Any]) -> None:
    """By a redirect, in small letters or capitals; nothing is said of a label that is good."""
    token = yard.token(job)
    for address in (f"http://bench.example/r/{token}", f"HTTP://BENCH.EXAMPLE/R/{token.upper()}"):
        answer = send(photo_of(address))
        assert (200, answer.address.partition("/r/")[2]) == (answer.status, token)
        assert "red Kestrel" in answer.text
        assert "Have a new one printed" not in answer.text


def test_a_photo_that_is_too_large_for_memory_opens_its_record(yard: Any, job: str, send: Callable[..., Any]) -> None:
    """It lies in a file from the beginning, behind it what a camera adds."""
    token = yard.token(job)
    answer = send(photo_of(f"http://bench.example/r/{token}") + bytes(3_000_000))

    assert (200, token) == (answer.status, answer.address.partition("/r/")[2])


def test_a_worn_label_asks_for_a_new_one(yard: Any, job: str, send: Callable[..., Any]) -> None:
    """Its record opens all the same."""
    answer = send(photo_of(f"http://bench.example/r/{yard.token(job)}", blot=120))

    assert answer.status == 200
    assert "red Kestrel" in answer.text
    assert "Have a new one printed" in answer.text


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "No photo was sent; choose one"),
        (b"no photo at all", "This file is no photo that can be read; send a JPEG, PNG or WebP."),
        (photo_of("https://elsewhere.example/menu"), "which is no record"),
        (photo_of("http://bench.example/r/acdefhjkmnprtvwxy23"), "and this book holds no record under it"),
        (photo_of("http://bench.example/w/w-77"), "and this book holds no record under it"),
    ],
)
def test_a_photo_that_opens_nothing_is_told(yard: Any, send: Callable[..., Any], data: bytes, says: str) -> None:
    """422, a sentence, and both forms again."""
    del yard
    answer = send(data)

    assert (422, True) == (answer.status, says in answer.text)
    assert 'capture="environment"' in answer.text


def test_a_photo_under_another_name_or_too_large_is_refused(yard: Any, book: "Path", send: Callable[..., Any]) -> None:
    """422 for the name; more bytes than a photo has are not read, and fewer on any other address."""
    del yard
    assert send(photo_of("http://bench.example/r/a"), "picture").status == 422
    with create_app(book) as app:
        large = app.test_client().post("/photo", data=b"x" * (MOST_PHOTO + 1))
    assert (413, True) == (large.status_code, "A photo may have 24 MB" in large.text)


@pytest.mark.parametrize("fields", [[("a", "1")] * 1001, [("a", "1" * 600_000)]])
def test_a_form_of_fields_in_place_of_a_photo_is_told(
    live: str, get: Callable[..., Any], fields: list[tuple[str, str]]
) -> None:
    """Too many, or too long ones: 413, and nothing of a token, which this page does not take."""
    head = f'--{BORDER}\r\nContent-Disposition: form-data; name="'
    body = "".join(f'{head}{name}"\r\n\r\n{value}\r\n' for name, value in fields) + f"--{BORDER}--\r\n"
    answer = get(f"{live}photo", form(b"")[0], body.encode())

    assert (413, True) == (answer.status, "What was sent is no form of this page. Open the page" in answer.text)
    assert "a label's token and nothing else" not in answer.text


def test_the_form_asks_the_telephone_for_its_camera(live: str, get: Callable[..., Any]) -> None:
    """On plain HTTP a page has no camera stream; a form has."""
    text = get(live).text

    assert 'action="./photo" method="post" enctype="multipart/form-data"' in text
    assert 'type="file" accept="image/*" capture="environment"' in text


def test_a_wrenchs_label_opens_what_is_known_of_it(yard: Any, live: str, get: Callable[..., Any]) -> None:
    """In any case; a number typed in the form leads there too."""
    for way in (f"{live}w/{yard.wrench}", f"{live}W/{yard.wrench.lower()}", f"{live}?token={yard.wrench.lower()}"):
        answer = get(way)
        assert (200, True) == (answer.status, f"<b>{yard.wrench}</b>" in answer.text)
        assert "5 … 200 N·m" in answer.text
        assert "Not shown to be in calibration" in answer.text


def test_a_wrenchs_page_tells_no_job_and_no_person(
    yard: Any, job: str, live: str, get: Callable[..., Any], procedures: "Path", personal: tuple[str, ...]
) -> None:
    """Its number can be guessed, so nothing leads on from there."""
    del procedures
    yard.work(job)
    text = get(f"{live}w/{yard.wrench}").text

    assert yard.token(job) not in text
    assert "/r/" not in text
    assert not [each for each in personal if each in text]
    assert yard.mechanic not in text


def test_an_unknown_wrench_is_told(yard: Any, live: str, get: Callable[..., Any]) -> None:
    """404, with the form."""
    del yard
    for number in ("W-99", "..%2fjob", "x" * 300):
        answer = get(f"{live}w/{number}")
        assert answer.status == 404
        assert "Open the record" in answer.text


def test_a_label_of_another_address_is_told(yard: Any, job: str, send: Callable[..., Any]) -> None:
    """A job's record is shown with a remark; a wrench of the same number is another wrench."""
    shown = send(photo_of(f"http://other.example/r/{yard.token(job)}"))
    refused = send(photo_of(f"http://other.example/w/{yard.wrench.lower()}"))

    assert (200, True) == (shown.status, "carries another address" in shown.text)
    assert (422, True) == (refused.status, "carries another address" in refused.text)


def test_a_photo_a_little_too_large_is_answered_by_the_page(yard: Any, send: Callable[..., Any]) -> None:
    """In its own words, over real HTTP."""
    del yard
    answer = send(b"x" * (MOST_PHOTO + 1))

    assert (413, True) == (answer.status, "A photo may have 24 MB" in answer.text)
