"""A phone or tablet with a real browser: what was tapped and typed, what it loaded, what the browser complained of."""

import re
from typing import Any

from playwright.sync_api import BrowserContext, Locator, ViewportSize

PHONE, DESK = ViewportSize(width=390, height=844), ViewportSize(width=1280, height=800)


class Device:
    """One browser window. `trouble` must be empty at the end of a test, which the fixture that made it asks."""

    def __init__(self, context: BrowserContext, base: str, pins: dict[str, str]) -> None:
        self.context = context
        self.base = base.rstrip("/")
        self.page = context.new_page()
        self.page.set_default_timeout(15_000)
        self.taps = self.typed = self.loaded = 0
        self.trouble: list[str] = []
        self._pins = pins
        self._listen()

    def _listen(self) -> None:
        """Hear what the browser complains of, and count what comes in, headers and all."""
        self.page.on("console", self._said)
        self.page.on("pageerror", lambda error: self.trouble.append(f"{self.page.url}: {error}"))
        self.page.on("response", self._answered)
        wire = self.context.new_cdp_session(self.page)
        wire.send("Network.enable")
        wire.on("Network.loadingFinished", self._came)

    def _said(self, message: Any) -> None:
        # A page that refuses a form is an answer too; whatever else was not found is heard below.
        wrong = message.type == "error" and not message.text.startswith("Failed to load resource")
        if wrong or "Content Security Policy" in message.text:
            self.trouble.append(f"{self.page.url}: {message.text}")

    def _answered(self, answer: Any) -> None:
        refused = answer.status >= 400 and answer.request.resource_type not in {"document", "fetch"}
        if refused or answer.status >= 500:
            self.trouble.append(f"{answer.url}: {answer.status}")

    def _came(self, told: dict[str, Any]) -> None:
        self.loaded += int(told["encodedDataLength"])

    def hold(self, **cookies: str) -> None:
        """Hold these cookies of the server, by their names."""
        self.context.add_cookies([{"name": name, "value": value, "url": self.base} for name, value in cookies.items()])

    def open(self, path: str) -> "Device":
        """Open an address of the server."""
        self.page.goto(f"{self.base}/{path.lstrip('/')}")
        return self

    @property
    def text(self) -> str:
        """The words that can be seen."""
        return " ".join(self.page.inner_text("main").split())

    @property
    def html(self) -> str:
        """The page as it stands."""
        return self.page.content()

    def _found(self, what: str, says: str) -> Locator:
        """The first of its kind that begins so and can be seen."""
        begins = re.compile(rf"^\s*{re.escape(says)}")
        return self.page.locator(what).filter(has_text=begins, visible=True).first

    def tap(self, says: str, /, **typed: str) -> "Device":
        """Type into fields by their names, tap the button or link that begins so, and wait for the page it leads to."""
        for name, value in typed.items():
            self.tell(name, value)
        self.taps += 1
        with self.page.expect_navigation():
            self._found("button, a", says).click()
        return self

    def unfold(self, says: str) -> "Device":
        """Open what is folded up, on the same page."""
        self.taps += 1
        self._found("summary", says).click()
        return self

    def tell(self, name: str, value: str) -> None:
        """Type into a field, or tap a choice, of the form that can be seen."""
        field = self.page.locator(f'[name="{name}"]:visible')
        if field.first.get_attribute("type") in {"radio", "checkbox"}:
            self.taps += 1
            self.page.locator(f'[name="{name}"][value="{value}"]').first.check()
        else:
            self.typed += len(value)
            field.first.fill(value)

    def sign_in(self, person: str) -> "Device":
        """Sign in with number and PIN, after whoever was there before."""
        if self.open("leave").page.get_by_text("Sign out: change the person").count():
            self.tap("Sign out: change the person")
        return self.open("sign").tap("Sign in", person=person, pin=self._pins[person])
