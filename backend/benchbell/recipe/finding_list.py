"""The findings of one recipe as they are collected, each with its line, and words they share."""

from collections.abc import Iterable
from difflib import get_close_matches

from msgspec import Struct, field

from benchbell.findings import Finding, Grade, Refused, Use
from benchbell.recipe.toml_positions import Path, line_at

MOST_NAMES = 12
"""The most names in one sentence."""


class FindingList(Struct):
    """The findings so far, each once, in order. file: the recipe's name. lines: the line of each place in it.

    used_by: who uses this text, when it is a fragment's. places: where each place of a recipe with fragments was
    written: the findings of that text, which share `found`, and the place in it.
    """

    file: str
    lines: dict[Path, int] = field(default_factory=dict)
    found: dict[Finding, None] = field(default_factory=dict)
    used_by: tuple[Use, ...] = ()
    places: "dict[Path, tuple[FindingList, Path]]" = field(default_factory=dict)

    def written_at(self, path: Path) -> "tuple[FindingList, Path]":
        """The findings of the text in which a place was written, and the place in that text."""
        for end in range(len(path), 0, -1):
            if path[:end] in self.places:
                of_text, start = self.places[path[:end]]
                return of_text, (*start, *path[end:])
        return self, path

    def line_in_recipe(self, path: Path) -> int:
        """The line of a place in the recipe itself: where it is written, or where the fragment is used that has it."""
        of_text, own = self.written_at(path)
        return of_text.used_by[-1].line if of_text.used_by else line_at(of_text.lines, own)

    def add(self, grade: Grade, rule: str, path: Path, what: str, next_step: str) -> None:
        """Add a finding about the place `path`, unless the same is there already."""
        of_text, own = self.written_at(path)
        line = line_at(of_text.lines, own)
        self.found[Finding(grade, rule, of_text.file, line, what, next_step, of_text.used_by)] = None

    def error(self, rule: str, path: Path, what: str, next_step: str) -> None:
        """Add an error."""
        self.add("error", rule, path, what, next_step)

    def warn(self, rule: str, path: Path, what: str, next_step: str) -> None:
        """Add a warning."""
        self.add("warning", rule, path, what, next_step)

    def add_refusal(self, rule: str, path: Path, about: str, error: Refused) -> None:
        """Add an exception as an error. about: the thing it concerns, put before its sentence."""
        self.error(rule, path, f"{about}: {error.what}", error.next_step)

    @property
    def has_error(self) -> bool:
        """Whether an error was found so far."""
        return any(finding.grade == "error" for finding in self.found)


def use_one_of(name: str, known: Iterable[str]) -> str:
    """The next step for an unknown name: the nearest known names, or the first few."""
    names = sorted(known)
    near = get_close_matches(name, names, n=3) or names[:MOST_NAMES]
    more = ", …" if near == names[:MOST_NAMES] and len(names) > MOST_NAMES else ""
    return f"Use one of: {', '.join(near)}{more or '.'}" if near else "Add it first: there is none yet."


def shortened(text: str, most: int = 40) -> str:
    """A text cut to `most` characters, to quote in a sentence."""
    return text if len(text) <= most else text[: most - 1] + "…"
