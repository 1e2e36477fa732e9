"""An invented gateway: one POST of JSON for a message, with a key by which it knows one that comes again."""

import json
import os
from http.client import HTTPException
from urllib.error import HTTPError
from urllib.parse import urlsplit
from urllib.request import Request, urlopen

from torqueaudit.plugin import NotSent

ADDRESS, KEY = "SHORT_MESSAGE_GATEWAY", "SHORT_MESSAGE_KEY"
WAIT = 30  # seconds for the answer
NO_SUCH_NUMBER = frozenset({404, 422})  # as this gateway answers for a number that takes nothing
OWN_MACHINE = frozenset({"127.0.0.1", "localhost", "::1"})


def hand_over(id_: str, number: str, text: str) -> None:
    """Hand one message over. Raises NotSent."""
    address = os.environ.get(ADDRESS, "")
    if not address:
        raise NotSent(f"no gateway for short messages is named in {ADDRESS}", untried=True)
    parts = urlsplit(address)
    if parts.scheme != "https" and (parts.scheme != "http" or parts.hostname not in OWN_MACHINE):
        raise NotSent(
            f"the address in {ADDRESS} does not begin with https://, so no number is sent there", untried=True
        )
    head = {
        "Content-Type": "application/json",
        "Idempotency-Key": id_,
        "Authorization": f"Bearer {os.environ.get(KEY, '')}",
    }
    body = json.dumps({"to": number, "text": text}).encode()
    try:
        with urlopen(Request(address, body, head), timeout=WAIT):  # noqa: S310  # the scheme was looked at
            return
    except HTTPError as error:
        error.close()
        raise NotSent(f"the gateway answers {error.code}", lasting=error.code in NO_SUCH_NUMBER) from None
    except (OSError, HTTPException) as error:  # it may have taken it, and the answer was lost
        raise NotSent(f"the gateway does not answer ({type(error).__name__})", unsure=True) from None
