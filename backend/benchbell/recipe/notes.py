"""Collecting findings while a recipe is read, each with its line."""

from msgspec import Struct

from benchbell.findings import Finding, Grade, Refused
from benchbell.recipe.lines import Path, line_at


class Notes(Struct):
    """Findings so far. file: as the person named it. lines: where things stand in it."""

    file: str
    lines: dict[Path, int]
    findings: list[Finding]

    def add(self, grade: Grade, rule: str, path: Path, what: str, next_step: str) -> None:
        """One more finding, about what stands at `path`. The same said twice is said once."""
        finding = Finding(grade, rule, self.file, line_at(self.lines, path), what, next_step)
        if finding not in self.findings:
            self.findings.append(finding)

    def error(self, rule: str, path: Path, what: str, next_step: str) -> None:
        """One more error."""
        self.add("error", rule, path, what, next_step)

    def warn(self, rule: str, path: Path, what: str, next_step: str) -> None:
        """One more warning."""
        self.add("warning", rule, path, what, next_step)

    def refused(self, rule: str, path: Path, name: str, error: Refused) -> None:
        """One more error, from a refusal; `name` is what it is about."""
        self.error(rule, path, f"{name}: {error.what}", error.next_step)

    @property
    def sound(self) -> bool:
        """No error so far."""
        return not any(finding.grade == "error" for finding in self.findings)
