"""Accepted warnings on one line: a maker has read them when accepting them."""

from collections import Counter
from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from benchbell.findings import Finding, counted
from benchbell.recipe.sheet import Sheet


def accepted_line(findings: Iterable[Finding]) -> str:
    """How many warnings are accepted, by rule, the most frequent first; "" where none is."""
    by_rule = Counter(finding.rule for finding in findings if finding.grade == "accepted")
    if not by_rule:
        return ""
    rules = ", ".join(f"{count} × {rule}" if count > 1 else rule for rule, count in by_rule.most_common())
    return f"{counted(by_rule.total(), 'warning')} accepted by the recipe: {rules}. See them with --accepted."


def without_accepted(sheet: Sheet) -> Sheet:
    """The sheet with those findings only that ask for something."""
    left: Sequence[Finding] = [finding for finding in sheet.findings if finding.grade != "accepted"]
    return replace(sheet, findings=tuple(left))
