"""A phone that opens pages over real HTTP and taps their buttons, as a browser without script does."""

import urllib.error
import urllib.parse
import urllib.request
from html.parser import HTMLParser
from http.cookiejar import CookieJar
from typing import Any, NamedTuple, Protocol


class Button(NamedTuple):
    """A button of a form: its name and value, and what stands on it."""

    name: str
    value: str
    says: str


class Form:
    """A form as a page has it: where it goes, what it carries, and its buttons."""

    def __init__(self, action: str, method: str) -> None:
        self.action = action
        self.method = method
        self.fields: list[tuple[str, str]] = []
        self.names: set[str] = set()
        self.required: set[str] = set()
        self.ticks: list[tuple[str, str]] = []  # every tick that it has, also those that are not ticked
        self.buttons: list[Button] = []
        self.choices: dict[str, int] = {}  # where the choice of each list stands among the fields


class Forms(HTMLParser):
    """The forms of a page, its links, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.links: dict[str, str] = {}
        self.text = ""
        self._open: Form | None = None
        self._button: list[str] | None = None
        self._link: list[str] | None = None
        self._select, self._area = "", False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        self.text += " "
        if tag == "form":
            self._open = Form(told.get("action", ""), told.get("method", "get"))
            self.forms.append(self._open)
        elif tag == "input" and self._open:
            self._input(self._open, told)
        elif tag == "select" and self._open:
            self._select = told.get("name", "")
        elif tag == "textarea" and self._open:
            self._input(self._open, told)
            self._area = True
        elif tag == "option" and self._open:
            self._option(self._open, told)
        elif tag == "button":
            self._button = [told.get("name", ""), told.get("value", ""), ""]
        elif tag == "a":
            self._link = [told.get("href", ""), ""]

    def _input(self, form: Form, told: dict[str, str]) -> None:
        form.names.add(told.get("name", ""))
        if "required" in told:
            form.required.add(told.get("name", ""))
        if told.get("type") == "checkbox":
            form.ticks.append((told.get("name", ""), told.get("value", "")))
        if told.get("type") in ("radio", "checkbox") and "checked" not in told:
            return
        if told.get("type") != "file":
            form.fields.append((told.get("name", ""), told.get("value", "")))

    def _option(self, form: Form, told: dict[str, str]) -> None:
        """The first choice of a list stands, or the one that is marked."""
        choice = (self._select, told.get("value", ""))
        if self._select not in form.choices:
            form.choices[self._select] = len(form.fields)
            form.fields.append(choice)
        elif "selected" in told:
            form.fields[form.choices[self._select]] = choice

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._open = None
        elif tag == "textarea":
            self._area = False
        elif tag == "button" and self._button and self._open:
            name, value, says = self._button
            self._open.buttons.append(Button(name, value, " ".join(says.split())))
            self._button = None
        elif tag == "a" and self._link:
            self.links[" ".join(self._link[1].split())] = self._link[0]
            self._link = None

    def handle_data(self, data: str) -> None:
        self.text += data
        if self._area and self._open:
            name, value = self._open.fields[-1]
            self._open.fields[-1] = name, value + data
        if self._button:
            self._button[2] += data
        if self._link:
            self._link[1] += data


BORDER = "--a-border-no-photo-holds"


class Staying(urllib.request.HTTPRedirectHandler):
    """A browser that stays where it is led away from."""

    def redirect_request(self, *_: Any) -> None:
        """Follow nothing."""


class Phone:
    """A browser without script: its cookies, the page it shows, and how often somebody tapped and typed."""

    def __init__(self, base: str, pins: dict[str, str]) -> None:
        self.base = base.rstrip("/")
        self._pins = pins
        self.cookies = CookieJar()
        self._opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.cookies))
        self.status, self.address, self.page = 0, self.base, ""
        self.headers: dict[str, str] = {}
        self.taps = self.typed = self.loaded = 0

    @property
    def html(self) -> str:
        """The page as it came."""
        return self.page

    @property
    def text(self) -> str:
        """The words of the page."""
        return " ".join(Forms(self.page).text.split())

    def open(self, path: str) -> "Phone":
        """Open an address of the server."""
        return self._asked(urllib.parse.urljoin(f"{self.base}/", path.lstrip("/")))

    def follow(self, says: str) -> "Phone":
        """Tap a link."""
        self.taps += 1
        return self._asked(urllib.parse.urljoin(self.address, Forms(self.page).links[says]))

    def form_of(self, says: str) -> tuple[Form, Button]:
        """The form with the button that begins so."""
        for form in Forms(self.page).forms:
            for button in form.buttons:
                if button.says.startswith(says):
                    return form, button
        raise AssertionError(f"no button {says!r} on {self.address}: {self.text}")

    def tap(self, says: str, /, **typed: str) -> "Phone":
        """Type into the fields of a form, and tap the button that begins so."""
        form, button = self.form_of(says)
        self.taps += 1
        self.typed += sum(len(each) for each in typed.values())
        return self.send(form, button, typed)

    def tick(self, says: str, *, left: int = 0) -> "Phone":
        """Tick everything that may be ticked in a form, but `left` at its end, and tap the button that begins so."""
        form, button = self.form_of(says)
        form.fields += form.ticks[: len(form.ticks) - left]
        return self.send(form, button, {})

    def send(self, form: Form, button: Button, typed: dict[str, str], headers: dict[str, str] | None = None) -> "Phone":
        """Send a form as a browser does, with the fields as they stand where nothing else was typed."""
        unknown = set(typed) - form.names - {name for name, _ in form.fields}
        assert set() == unknown, f"no field {unknown} beside {button.says!r}"
        fields = [(name, value) for name, value in form.fields if name not in typed]
        fields += list(typed.items())
        empty = form.required - {name for name, value in fields if value}
        assert set() == empty, f"{empty} has to be told before {button.says!r}"
        if button.name:
            fields.append((button.name, button.value))
        written, address = urllib.parse.urlencode(fields), urllib.parse.urljoin(self.address, form.action)
        if form.method == "get":
            return self._asked(f"{address.partition('?')[0]}?{written}")
        return self._asked(address, written.encode(), headers)

    def send_photo(
        self, says: str, photo: bytes, *, headers: dict[str, str] | None = None, more: dict[str, str] | None = None
    ) -> "Phone":
        """Choose a photo in the form with the button that begins so, and send it; `more` is what a script adds."""
        form, _ = self.form_of(says)
        fields = [*form.fields, *(more or {}).items()]
        return self._send_file(form, fields, ("photo", "mark.jpg"), photo, headers)

    def send_file(self, says: str, file: tuple[str, bytes], **typed: str) -> "Phone":
        """Type into the form with the button that begins so, choose a file by its name, "" for none, and send it."""
        form, _ = self.form_of(says)
        unknown = set(typed) - form.names - {name for name, _ in form.fields}
        assert set() == unknown, f"no field {unknown} beside {says!r}"
        fields = [(name, value) for name, value in form.fields if name not in typed]
        return self._send_file(form, [*fields, *typed.items()], ("file", file[0]), file[1], None)

    def _send_file(
        self,
        form: Form,
        fields: list[tuple[str, str]],
        named: tuple[str, str],
        data: bytes,
        headers: dict[str, str] | None,
    ) -> "Phone":
        self.taps += 2
        parts = [f'--{BORDER}\r\nContent-Disposition: form-data; name="{n}"\r\n\r\n{v}\r\n' for n, v in fields]
        head = f'--{BORDER}\r\nContent-Disposition: form-data; name="{named[0]}"; filename="{named[1]}"\r\n\r\n'
        body = "".join([*parts, head]).encode() + data + f"\r\n--{BORDER}--\r\n".encode()
        kind = {"Content-Type": f"multipart/form-data; boundary={BORDER}"}
        return self._asked(urllib.parse.urljoin(self.address, form.action), body, {**kind, **(headers or {})})

    def asked_for(self, path: str, way: str) -> int:
        """The status of one answer, its redirect not followed; with an empty form where it is sent one."""
        address = urllib.parse.urljoin(f"{self.base}/", path.lstrip("/"))
        asked = urllib.request.Request(address, b"x=" if way == "POST" else None)
        opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.cookies), Staying)
        try:
            with opener.open(asked, timeout=20) as answer:
                return int(answer.status)
        except urllib.error.HTTPError as refusal:
            with refusal:
                return refusal.code

    def _asked(self, address: str, data: bytes | None = None, headers: dict[str, str] | None = None) -> "Phone":
        asked = urllib.request.Request(address, data, headers or {})
        try:
            with self._opener.open(asked, timeout=20) as answer:
                return self._shown(answer.status, answer)
        except urllib.error.HTTPError as refusal:
            with refusal:
                return self._shown(refusal.code, refusal)

    def _shown(self, status: int, answer: Any) -> "Phone":
        self.body: bytes = answer.read()
        self.status, self.address, self.headers = status, answer.url, dict(answer.headers)
        self.page, self.loaded = self.body.decode(errors="replace"), self.loaded + len(self.body)
        return self

    def sign_in(self, person: str) -> "Phone":
        """Sign in with number and PIN, after whoever was there before."""
        if "Sign out" in self.open("leave").page:
            self.tap("Sign out: change the person")
        return self.open("sign").tap("Sign in", person=person, pin=self._pins[person])


class LetIn(Protocol):
    """Makes a phone that was let in under a name."""

    def __call__(self, name: str = "tablet at lift 2") -> Phone: ...
