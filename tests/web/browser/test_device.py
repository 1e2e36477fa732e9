"""The browser of the tests sees what a phone sees in a workshop: plain http, from another machine."""

from collections.abc import Callable

from lan import HERE

from .device import Device


def test_a_phone_signs_in_over_plain_http(let_in: Callable[..., Device], network: str) -> None:
    """Nothing that a browser allows to secure pages alone is there."""
    phone = let_in().sign_in("P-2")

    assert "P-2 on D-1: change" in phone.text
    if network == HERE:
        assert phone.page.evaluate("isSecureContext") is False


def test_what_the_policy_stops_is_heard(signed_in: Callable[..., Device]) -> None:
    """A script that a page was made to load, and that did not run."""
    phone = signed_in("P-2").open("bench")
    phone.page.evaluate("document.body.append(Object.assign(document.createElement('script'), {text: 'x = 1'}))")
    phone.page.wait_for_timeout(50)
    heard, phone.trouble = phone.trouble, []

    assert 1 == len(heard)
    assert "Content Security Policy" in heard[0]


def test_what_was_not_found_is_heard(signed_in: Callable[..., Device]) -> None:
    """A picture that a page names and nobody has."""
    phone = signed_in("P-2").open("bench")
    with phone.page.expect_response("**/nothing.png"):
        phone.page.evaluate("document.body.append(Object.assign(document.createElement('img'), {src: '/nothing.png'}))")
    phone.page.wait_for_timeout(50)
    heard, phone.trouble = phone.trouble, []

    assert [f"{phone.base}/nothing.png: 404"] == heard
