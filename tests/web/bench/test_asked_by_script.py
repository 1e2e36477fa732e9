"""What the script of the bench asks of the server; without it the same forms lead as ever."""

import json
import urllib.request
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from torqueaudit.web.inline import written_script

from .phone import LetIn

if TYPE_CHECKING:
    from tests.web.bench.phone import Phone

SCRIPT = {"X-Bench": "1"}
MOST_BYTES = 12_000


@pytest.fixture
def phone(let_in: LetIn, yard: Any, procedures: Path) -> "Phone":
    """A phone on which the mechanic is signed in, and a job is open."""
    yard.open(procedures / "front-wheel.toml")
    signed: Phone = let_in().sign_in("P-2")
    return signed


def asked(phone: "Phone", path: str, data: bytes | None = None) -> tuple[int, str, bytes]:
    """Status, where the answer leads, and what it says, asked as the script asks."""
    request = urllib.request.Request(f"{phone.base}/{path}", data, SCRIPT)
    phone.cookies.add_cookie_header(request)
    try:
        with urllib.request.urlopen(request, timeout=20) as answer:
            return answer.status, answer.headers.get("X-Bench-To", ""), answer.read()
    except urllib.error.HTTPError as refusal:
        with refusal:
            return refusal.code, refusal.headers.get("X-Bench-To", ""), refusal.read()


def test_the_script_is_told_who_is_signed_in_and_what_a_form_brings(phone: "Phone") -> None:
    """The same token that stands in the forms of the page."""
    form, _ = phone.open("job/1?read=1").form_of("Done")
    status, _, told = asked(phone, "token")

    assert 200 == status
    assert {"person": "P-2", "form": dict(form.fields)["form"]} == json.loads(told)


def test_it_is_told_where_an_act_leads_and_fetches_no_page(phone: "Phone") -> None:
    """204 in place of 303, with the address; once more under the same id it leads to the same."""
    form, button = phone.open("job/1?read=1").form_of("Done")
    sent = urllib.parse.urlencode([*form.fields, (button.name, button.value)]).encode()
    first, again = (asked(phone, "job/1/step/bike-secured", sent) for _ in range(2))

    assert (204, b"") == (first[0], first[2])
    assert first[1].endswith(f"job/1?done={dict(form.fields)['id']}")
    assert first == again


def test_it_is_led_to_signing_in_where_nobody_is(phone: "Phone", clock: list[datetime], yard: Any) -> None:
    """After ten idle minutes, and after signing out: what it has stays on the device until somebody signs in."""
    yard.later(minutes=11)
    asleep = asked(phone, "token")
    phone.open("leave").tap("Sign out: change the person")
    out = asked(phone, "token")

    assert clock
    assert [(204, "sign"), (204, "sign")] == [
        (status, to.partition("?")[0].strip("./")) for status, to, _ in (asleep, out)
    ]


def test_a_device_that_was_not_let_in_is_told_nothing(bench: str) -> None:
    """No person, no token."""
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(f"{bench}token", timeout=20)

    refused.value.close()
    assert 403 == refused.value.code


def test_pages_of_the_bench_run_one_script_and_pages_of_strangers_none(phone: "Phone", bench: str) -> None:
    """One of our own, from this server; its worker may ask this server and nobody else."""
    page = phone.open("job/1?read=1").page
    address = page.partition('<script src="')[2].partition('"')[0].strip("./")
    policy, script, worker, stranger = (headers(phone, path) for path in ("job/1", address, "worker.js", "r/zzzz"))

    assert "script-src 'self'; connect-src 'self'" in policy["Content-Security-Policy"]
    assert "unsafe" not in policy["Content-Security-Policy"]
    assert "immutable" in script["Cache-Control"]
    assert ("no-cache", True) == (worker["Cache-Control"], "connect-src 'self'" in worker["Content-Security-Policy"])
    assert "script-src" not in stranger["Content-Security-Policy"]
    assert bench


@pytest.mark.parametrize("end", ["css", "js"])
def test_a_file_of_another_version_is_not_given_for_this_one(phone: "Phone", end: str) -> None:
    """A browser would keep it for a year under a digest that is not its own."""
    for digest in ("0" * 16, "x", "0"):
        phone.open(f"bench-{digest}.{end}")
        assert (404, "no-store") == (phone.status, phone.headers["Cache-Control"])
        assert "Open the page anew" in phone.text


def headers(phone: "Phone", path: str) -> dict[str, str]:
    """What an answer carries."""
    return dict(phone.open(f"/{path}").headers)


def test_the_script_is_small() -> None:
    """With its worker it is fetched once for all pages of a version."""
    assert MOST_BYTES >= len(written_script("bench.js").encode())
    assert MOST_BYTES >= len(written_script("worker.js").encode()) * 4
