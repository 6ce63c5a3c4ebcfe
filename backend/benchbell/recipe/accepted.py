"""Warnings that the maker accepts, where the recipe says so, with the reason."""

from collections.abc import Iterator, Mapping

from benchbell.findings import Use, use_one_of
from benchbell.recipe.expansion import WrittenOut
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.warning_rules import WARNINGS

Place = tuple[tuple[Use, ...], Path]
"""Where warnings are accepted: a row or size of the recipe written out, with no uses, or a whole text, with no path."""


def mark_accepted(whole: WrittenOut, shop: ShopProfile, findings: FindingList) -> None:
    """Give each warning that the recipe accepts the grade "accepted" and the reason.

    Of a warning that is accepted by its own part, setup, fixture, operation or size, by all of its text and by all of a
    text that uses it, the nearest reason counts. Adds findings for names of no warning, and for warnings that are
    accepted and do not occur.
    """
    written = dict(all_accepted(whole))
    used: set[tuple[Place, str]] = set()
    for finding, path in list(findings.found.items()):
        texts = [(finding.used_by[n:], ()) for n in range(len(finding.used_by) + 1)]
        places: list[Place] = [((), path[:2]), *texts]
        place = next((place for place in places if finding.rule in written.get(place, {})), None)
        if finding.grade == "warning" and place is not None:
            used.add((place, finding.rule))
            findings.accept(finding, written[place][finding.rule])
    for place, accepted in written.items():
        for rule in accepted:
            if rule not in WARNINGS:
                add_unknown(place, rule, whole, findings)
            elif (place, rule) not in used and is_settled(place, whole, findings):
                add_unused(place, rule, whole, shop, findings)


def all_accepted(whole: WrittenOut) -> Iterator[tuple[Place, Mapping[str, str]]]:
    """The place of each table of accepted warnings, and the table: reasons by rule."""
    recipe = whole.recipe
    yield from (((uses, ()), accepted.reasons) for uses, accepted in whole.accepted.items())
    yield from ((((), ("part", row)), part.accept) for row, part in enumerate(recipe.part))
    yield from ((((), ("fixture", row)), fixture.accept) for row, fixture in enumerate(recipe.fixture))
    yield from ((((), ("setup", row)), setup.accept) for row, setup in enumerate(recipe.setup))
    yield from ((((), ("operation", row)), op.accept) for row, op in enumerate(recipe.operation))
    for name, size in recipe.size.items():
        if not isinstance(size, str):
            yield ((), ("size", name)), size.accept


def is_settled(place: Place, whole: WrittenOut, findings: FindingList) -> bool:
    """Whether a text asks nothing, so that no other answer could bring a warning that it accepts."""
    uses, path = place
    of_text, _ = findings.written_at(path)
    return not (uses or of_text.used_by or whole.choices)


def add_unknown(place: Place, rule: str, whole: WrittenOut, findings: FindingList) -> None:
    """Add a finding for an accepted warning that is the name of none."""
    uses, path = place
    of_text = findings if path else whole.accepted[uses].findings
    what = f"{thing_at(place, whole)} accepts “{rule}”, which is the name of no warning."
    of_text.error("unknown-name", (*path, "accept"), what, use_one_of(rule, WARNINGS))


def add_unused(place: Place, rule: str, whole: WrittenOut, shop: ShopProfile, findings: FindingList) -> None:
    """Add a finding for an accepted warning that does not occur.

    Nothing is said where the rule cannot be judged: after an error, and about clamps that are not counted.
    """
    if not findings.has_error and (rule != "too-few-clamps" or shop.clamps):
        what = f"{thing_at(place, whole)} accepts {rule}, which does not occur here: {WARNINGS[rule]}."
        next_step = "Take it out of accept, or move it to where it occurs."
        findings.warn("accepts-nothing", (*place[1], "accept"), what, next_step)


def thing_at(place: Place, whole: WrittenOut) -> str:
    """A place in words, to begin a sentence: "Operation glue-frame", "The recipe", "The fragment"."""
    uses, path = place
    recipe = whole.recipe
    match path:
        case "part", int(row):
            return f"Part {recipe.part[row].id}"
        case "fixture", int(row):
            return f"Fixture {recipe.fixture[row].id}"
        case "setup", int(row):
            return f"Setup {recipe.setup[row].id}"
        case "operation", int(row):
            return f"Operation {recipe.operation[row].id}"
        case "size", name:
            return f"Size {name}"
    return "The fragment" if uses else "The recipe"
