"""The findings of one recipe as they are collected, each with its line."""

from msgspec import Struct, field, structs

from benchbell.findings import Finding, Grade, Refused, Use
from benchbell.recipe.toml_positions import Path, line_at


class Slip(Struct, frozen=True):
    """What may follow from one slip at several places. key: alike for all of them. names: what it is told of here."""

    key: str
    names: tuple[str, ...]


class About(Struct, frozen=True):
    """What a finding is about: its place, and the name of a part or assembly that an operation does something to.

    slip: set where others may follow from the same, which are then told in one sentence (told_once.py).
    """

    path: Path
    part: str = ""
    slip: Slip | None = None


class FindingList(Struct):
    """The findings so far, each once, in order, with what it is about.

    file: the recipe's name. lines: the line of each place in it.
    used_by: who uses this text, when it is a fragment's. places: where each place of a recipe with fragments was
    written: the findings of that text, which share `found`, and the place in it.
    """

    file: str
    lines: dict[Path, int] = field(default_factory=dict)
    found: dict[Finding, About] = field(default_factory=dict)
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

    def add(
        self, grade: Grade, rule: str, path: Path, what: str, next_step: str, part: str = "", slip: Slip | None = None
    ) -> None:
        """Add a finding about the place `path`, unless the same is there already. part, slip: see About."""
        of_text, own = self.written_at(path)
        line = line_at(of_text.lines, own)
        finding = Finding(grade, rule, of_text.file, line, what, next_step, used_by=of_text.used_by)
        self.found.setdefault(finding, About(path, part, slip))

    def error(self, rule: str, path: Path, what: str, next_step: str) -> None:
        """Add an error."""
        self.add("error", rule, path, what, next_step)

    def warn(self, rule: str, path: Path, what: str, next_step: str, part: str = "", slip: Slip | None = None) -> None:
        """Add a warning. part, slip: see About."""
        self.add("warning", rule, path, what, next_step, part, slip)

    def add_refusal(self, rule: str, path: Path, about: str, error: Refused) -> None:
        """Add an exception as an error. about: the thing it concerns, put before its sentence."""
        self.error(rule, path, f"{about}: {error.what}", error.next_step)

    def accept(self, warning: Finding, reason: str) -> None:
        """Replace a warning by the same with the grade "accepted" and the maker's reason."""
        about = self.found.pop(warning)
        self.found[structs.replace(warning, grade="accepted", reason=reason)] = about

    @property
    def has_error(self) -> bool:
        """Whether an error was found so far."""
        return any(finding.grade == "error" for finding in self.found)


def shortened(text: str, most: int = 40) -> str:
    """A text cut to `most` characters, to quote in a sentence."""
    return text if len(text) <= most else text[: most - 1] + "…"
