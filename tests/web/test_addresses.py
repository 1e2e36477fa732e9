"""Tokens typed, mistyped and unknown; addresses in any case and below a path; names the server answers to."""

from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import pytest

from torqueaudit.model.register.token import grouped, new_token
from torqueaudit.web.addresses import below_of, hosts_of, way_up

if TYPE_CHECKING:
    from tests.web.conftest import Answer, Yard

Get = Callable[..., "Answer"]
FORM = '<input id="token"'


@pytest.fixture
def token(yard: "Yard", procedures: Path) -> str:
    return yard.token(yard.open(procedures / "front-wheel.toml"))


def test_the_form_leads_to_the_record(live: str, get: Get, token: str) -> None:
    """As printed in groups, and as someone pastes the label's whole address."""
    assert FORM in get(live).text
    for typed in (grouped(token).upper(), f"%20{token}%20", f"HTTP://BENCH.EXAMPLE/R/{token.upper()}"):
        answer = get(f"{live}?token={typed}")
        assert (200, f"{live}r/{token}") == (answer.status, answer.address)


def test_an_unknown_token_gets_its_own_page(live: str, get: Get, token: str) -> None:
    """Well written, but of another book: 404, why, and the form with the token in groups."""
    other = new_token(Random(99))
    answer = get(f"{live}r/{other}")

    assert other != token
    assert (404, True, True) == (
        answer.status,
        "No record under this token in this book" in answer.text,
        f'value="{grouped(other)}"' in answer.text,
    )
    assert get(f"{live}?token={other}").text == answer.text


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda token: token[:-1], "A label&#39;s token has 19 characters, this one has 18."),
        (lambda token: token[1] + token[0] + token[2:], "One or more characters of this token are mistyped"),
        (lambda token: "b" + token[1:], "The character &#39;b&#39; never occurs in a label&#39;s token"),
    ],
)
def test_a_mistyped_token_says_what_is_wrong(
    live: str, get: Get, token: str, spoil: Callable[[str], str], says: str
) -> None:
    """404 with the mistake in words, and the form holds what was typed, so that it can be mended."""
    typed = spoil(token)
    assert typed != token
    for answer in (get(f"{live}r/{typed}"), get(f"{live}?token={typed}")):
        assert (404, True, True) == (answer.status, says in answer.text, f'value="{typed}"' in answer.text)
        assert "No record under this token" not in answer.text


def test_what_was_typed_is_shown_as_text_and_not_at_length(live: str, get: Get) -> None:
    """A page never repeats markup it was sent."""
    answer = get(f"{live}?token=%22%3E%3Cb%3Ehello" + "a" * 500)

    assert (404, False, True) == (answer.status, "<b>hello" in answer.text, "&lt;b&gt;hello" in answer.text)
    assert "a" * 61 not in answer.text


def test_any_other_address_says_where_the_records_are(live: str, get: Get) -> None:
    """404 with the form, whose way up fits the depth of the address."""
    for path, up in (("nothing", "./"), ("a/b/c", "../../"), ("r/", "../"), ("favicon.ico", "./")):
        answer = get(live + path)
        assert (404, True, True) == (answer.status, "No such page here" in answer.text, f'action="{up}"' in answer.text)


@pytest.mark.parametrize("settings", [{"zone": "UTC", "base_address": "https://bench.example/Records/"}])
@pytest.mark.parametrize("below", ["records/", "RECORDS/", ""])
def test_a_base_address_may_end_in_a_path(live: str, get: Get, token: str, below: str) -> None:
    """With the path, in any case, and without it where a proxy took it off."""
    assert 200 == get(f"{live}{below}r/{token}").status
    answer = get(f"{live}{below}?token={token}")
    assert (200, f"{live}{below}r/{token}") == (answer.status, answer.address)
    assert 404 == get(f"{live}recordsr/{token}").status


@pytest.mark.parametrize(
    "settings",
    [
        {
            "zone": "UTC",
            "base_address": "https://labels.example/Yard",
            "workshop_address": "http://yard.example/yard/bench",
        }
    ],
)
def test_the_pages_answer_to_both_addresses(live: str, get: Get, token: str) -> None:
    """To the host and the path of each, also where one path lies below the other."""
    for host, below in (("labels.example", "yard/"), ("yard.example", "yard/bench/"), ("labels.example", "")):
        assert 200 == get(f"{live}{below}r/{token}", {"Host": host}).status
    assert 400 == get(f"{live}r/{token}", {"Host": "evil.example"}).status


def test_a_strange_host_name_is_refused(live: str, get: Get, token: str) -> None:
    """A page elsewhere cannot read records by pointing its own name here; the book's own name may be in capitals."""
    names = ("bench.example", "BENCH.EXAMPLE:8080", "evil.example")
    answers = {name: get(f"{live}r/{token}", {"Host": name}) for name in names}

    assert [200, 200, 400] == [answer.status for answer in answers.values()]
    assert "Not the address of this book" in answers["evil.example"].text
    assert "red Kestrel" not in answers["evil.example"].text


def test_nothing_can_be_sent(live: str, get: Get, token: str) -> None:
    """A record is only read: 405, however much is sent."""
    small = get(f"{live}r/{token}", data=b"token=x")

    assert (405, "Method Not Allowed" in small.text) == (small.status, True)
    assert "GET" in small.headers["Allow"]
    assert 405 == get(f"{live}r/{token}", data=b"x" * 70_000).status


def test_ways_hosts_and_paths() -> None:
    """What the addresses are worked out from."""
    assert ["./", "./", "../", "../../"] == [way_up(path) for path in ("/", "/x", "/r/x", "/a/b/c")]
    assert ("bench.example", "localhost", "127.0.0.1") == hosts_of(["HTTPS://Bench.Example:8443/Records"])
    assert ("localhost", "127.0.0.1") == hosts_of(["http://localhost:8080"])
    assert ["", "", "/records"] == [below_of(f"http://bench.example{path}") for path in ("", "/", "/Records/")]
