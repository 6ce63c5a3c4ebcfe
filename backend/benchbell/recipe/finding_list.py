"""The findings of one recipe as they are collected, each with its line."""

from msgspec import Struct, field, structs

from benchbell.findings import Finding, Grade, Refused
from benchbell.recipe.toml_positions import Path, line_at


class FindingList(Struct):
    """The findings so far, each once, in order, with the place it is about.

    file: the recipe's name. lines: the line of each place in it.
    """

    file: str
    lines: dict[Path, int] = field(default_factory=dict)
    found: dict[Finding, Path] = field(default_factory=dict)

    def add(self, grade: Grade, rule: str, path: Path, what: str, next_step: str) -> None:
        """Add a finding about the place `path`, unless the same is there already."""
        self.found.setdefault(Finding(grade, rule, self.file, line_at(self.lines, path), what, next_step), path)

    def error(self, rule: str, path: Path, what: str, next_step: str) -> None:
        """Add an error."""
        self.add("error", rule, path, what, next_step)

    def warn(self, rule: str, path: Path, what: str, next_step: str) -> None:
        """Add a warning."""
        self.add("warning", rule, path, what, next_step)

    def add_refusal(self, rule: str, path: Path, about: str, error: Refused) -> None:
        """Add an exception as an error. about: the thing it concerns, put before its sentence."""
        self.error(rule, path, f"{about}: {error.what}", error.next_step)

    def accept(self, warning: Finding, reason: str) -> None:
        """Replace a warning by the same with the grade "accepted" and the maker's reason."""
        path = self.found.pop(warning)
        self.found[structs.replace(warning, grade="accepted", reason=reason)] = path

    @property
    def has_error(self) -> bool:
        """Whether an error was found so far."""
        return any(finding.grade == "error" for finding in self.found)


def shortened(text: str, most: int = 40) -> str:
    """A text cut to `most` characters, to quote in a sentence."""
    return text if len(text) <= most else text[: most - 1] + "…"
