"""One page in one engine, and what a thumb does on it: only what every engine's driver can do."""

import json
from typing import Any, Protocol

from browser.conftest import until

PLACE = """(where, words) => {
  window.tapped = false;
  const found = [...document.querySelectorAll(where)].find((one) => one.innerText.trim().startsWith(words));
  if (!found || found.disabled) return null;
  found.scrollIntoView({ block: "center", behavior: "instant" });
  found.addEventListener("click", () => { window.tapped = true; }, { once: true, capture: true });
  const { x, y, width, height } = found.getBoundingClientRect();
  return [Math.round(x + width / 2), Math.round(y + height / 2)];
}"""
"""Where it stands now, in CSS pixels of the window; from then on it tells when it was hit."""

LATER = """(ms) => {
  const [wall, count] = [Date.now.bind(Date), performance.now.bind(performance)];
  Date.now = () => wall() + ms;
  performance.now = () => count() + ms;
}"""
"""Both of the page's clocks go on, as they do while it lies on the bench. A reload sets them right again."""


class Tab(Protocol):
    """What a driver gives."""

    def open(self, address: str) -> None:
        """Go there and wait until it has loaded. Raises the driver's error when it does not load."""

    def reload(self) -> None:
        """The same page once more."""

    def value(self, expression: str) -> Any:
        """What the expression gives on the page, as JSON can say it."""

    def press(self, x: int, y: int) -> None:
        """The pointer down and up there, as a hand does it."""


def ask(tab: Tab, function: str, *given: Any) -> Any:
    """What the page's function gives for these."""
    return tab.value(f"({function})({', '.join(map(json.dumps, given))})")


def texts(tab: Tab, where: str) -> list[str]:
    """What stands in each such element, as it is seen."""
    return ask(tab, "(where) => [...document.querySelectorAll(where)].map((one) => one.innerText)", where)


def sees(tab: Tab, where: str, words: str) -> None:
    """Wait until these words stand there."""
    until(lambda: any(words in text for text in texts(tab, where)), f"“{words}” stands in {where}")


def tap(tab: Tab, where: str, words: str) -> None:
    """Wait for it and hit it once, wherever it has moved meanwhile."""
    until(lambda: hits(tab, where, words), f"“{words}” in {where} takes a tap")


def hits(tab: Tab, where: str, words: str) -> bool:
    """Whether it was there and was hit."""
    place = ask(tab, PLACE, where, words)
    if place:
        tab.press(*place)
    return bool(place and tab.value("window.tapped"))
