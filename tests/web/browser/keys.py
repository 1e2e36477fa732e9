"""What is done by the keyboard alone, as by somebody who holds no mouse."""

from .device import Device

FOCUSED = """() => {
  const {name, innerText, value, tagName} = document.activeElement;
  return tagName === "INPUT" ? name : (innerText || value || "").trim();
}"""


class Keyboard:
    """What is on the screen, reached with Tab."""

    def __init__(self, device: Device) -> None:
        self.device = device
        self.page = device.page

    def reach(self, says: str) -> "Keyboard":
        """Go on until what begins so has the focus, as a field by its name."""
        for _ in range(60):
            self.page.keyboard.press("Tab")
            if self.page.evaluate(FOCUSED).startswith(says):
                return self
        raise AssertionError(f"{says!r} is never reached on {self.page.url}: {self.device.text}")

    def write(self, text: str) -> "Keyboard":
        """Type into the field that has the focus."""
        self.page.keyboard.type(text)
        return self

    def press(self, key: str) -> "Keyboard":
        """Press a key that leads to another page."""
        with self.page.expect_navigation():
            self.page.keyboard.press(key)
        return self
