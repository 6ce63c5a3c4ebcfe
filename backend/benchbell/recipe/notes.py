"""Collecting findings while a recipe is read, each with its line."""

from collections.abc import Iterable
from difflib import get_close_matches

from msgspec import Struct, field

from benchbell.findings import Finding, Grade, Refused
from benchbell.recipe.toml_positions import Path, line_at

MOST_NAMES = 12
"""Told in one sentence."""


class Notes(Struct):
    """Findings so far, each once. file: as the person named it. lines: where things stand in it."""

    file: str
    lines: dict[Path, int] = field(default_factory=dict)
    findings: dict[Finding, None] = field(default_factory=dict)

    def add(self, grade: Grade, rule: str, path: Path, what: str, next_step: str) -> None:
        """One more finding, about what stands at `path`. The same said twice is said once."""
        self.findings[Finding(grade, rule, self.file, line_at(self.lines, path), what, next_step)] = None

    def error(self, rule: str, path: Path, what: str, next_step: str) -> None:
        """One more error."""
        self.add("error", rule, path, what, next_step)

    def warn(self, rule: str, path: Path, what: str, next_step: str) -> None:
        """One more warning."""
        self.add("warning", rule, path, what, next_step)

    def refused(self, rule: str, path: Path, about: str, error: Refused) -> None:
        """One more error, from a refusal; `about` is the thing it concerns."""
        self.error(rule, path, f"{about}: {error.what}", error.next_step)

    @property
    def sound(self) -> bool:
        """No error so far."""
        return not any(finding.grade == "error" for finding in self.findings)


def use_one_of(name: str, known: Iterable[str]) -> str:
    """A next step for a name nobody knows: the nearest there are, else the first few."""
    names = sorted(known)
    near = get_close_matches(name, names, n=3) or names[:MOST_NAMES]
    more = ", …" if near == names[:MOST_NAMES] and len(names) > MOST_NAMES else ""
    return f"Use one of: {', '.join(near)}{more or '.'}" if near else "There is none yet: add it first."


def shortened(text: str, most: int = 40) -> str:
    """A text to repeat in a sentence."""
    return text if len(text) <= most else text[: most - 1] + "…"
