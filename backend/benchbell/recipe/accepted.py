"""Warnings that the maker accepts, where the recipe says so, with the reason."""

from collections.abc import Collection, Iterator, Mapping

from benchbell.findings import Use, use_one_of
from benchbell.recipe.expansion import WrittenOut
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.warning_rules import WARNINGS

Place = tuple[tuple[Use, ...], Path]
"""Where warnings are accepted: a row or size of the recipe written out, with no uses, or a whole text, with no path."""

Key = tuple[str, str]
"""What is accepted there: a rule, and the part or assembly for which alone, or "" for all."""


def mark_accepted(whole: WrittenOut, shop: ShopProfile, findings: FindingList) -> None:
    """Give each warning that the recipe accepts the grade "accepted" and the reason.

    Of a warning that is accepted by its own part, setup, fixture, operation or size, by the part that an operation
    works on, by all of its text and by all of a text that uses it, the nearest reason counts; in one place that for its
    part alone. Adds findings for names of no warning or part, and for warnings that are accepted and do not occur.
    """
    written = {place: dict(reasons_in(accepted)) for place, accepted in all_accepted(whole)}
    rows = {part.id: row for row, part in enumerate(whole.recipe.part)}
    used: set[tuple[Place, Key]] = set()
    for finding, about in list(findings.found.items()):
        part = about.part or next((id for id, row in rows.items() if about.path[:2] == ("part", row)), "")
        of_part: list[Place] = [((), ("part", rows[part]))] if part in rows else []
        texts: list[Place] = [(finding.used_by[n:], ()) for n in range(len(finding.used_by) + 1)]
        places: list[Place] = [((), about.path[:2]), *of_part, *texts]
        asked = [(place, (finding.rule, name)) for place in places for name in ((part, "") if part else ("",))]
        found = next(((place, key) for place, key in asked if key in written.get(place, {})), None)
        if finding.grade == "warning" and found is not None:
            used.add(found)
            findings.accept(finding, written[found[0]][found[1]])
    names = {*rows, *(op.makes for op in whole.recipe.operation if op.makes)}
    for place, accepted in written.items():
        for key in accepted:
            if key[0] not in WARNINGS or (key[1] and key[1] not in names):
                add_unknown(place, key, names, whole, findings)
            elif (place, key) not in used and is_settled(place, whole, findings):
                add_unused(place, key, whole, shop, findings)


def reasons_in(accepted: Mapping[str, str | Mapping[str, str]]) -> Iterator[tuple[Key, str]]:
    """Each thing that an `accept` table accepts, with the reason."""
    for rule, said in accepted.items():
        if isinstance(said, str):
            yield (rule, ""), said
        else:
            yield from (((rule, part), reason) for part, reason in said.items())


def all_accepted(whole: WrittenOut) -> Iterator[tuple[Place, Mapping[str, str | dict[str, str]]]]:
    """The place of each `accept` table, and the table."""
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


def add_unknown(place: Place, key: Key, names: Collection[str], whole: WrittenOut, findings: FindingList) -> None:
    """Add a finding for an accepted warning that is the name of none, or for a part that is none. names: of parts."""
    (uses, path), (rule, part) = place, key
    of_text = findings if path else whole.accepted[uses].findings
    if rule in WARNINGS:
        what = f"{thing_at(place, whole)} accepts {rule} for “{part}”, which is not a part or assembly of the recipe."
        next_step = use_one_of(part, names)
    else:
        what = f"{thing_at(place, whole)} accepts “{rule}”, which is the name of no warning."
        next_step = use_one_of(rule, WARNINGS, "in benchbell names warning")
    of_text.error("unknown-name", (*path, "accept"), what, next_step)


def add_unused(place: Place, key: Key, whole: WrittenOut, shop: ShopProfile, findings: FindingList) -> None:
    """Add a finding for an accepted warning that does not occur.

    Nothing is said where the rule cannot be judged: after an error, and about clamps that are not counted.
    """
    rule, part = key
    if not findings.has_error and (rule != "too-few-clamps" or shop.clamps):
        accepts = f"{rule} for {part}" if part else rule
        what = f"{thing_at(place, whole)} accepts {accepts}, which does not occur here: {WARNINGS[rule]}."
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
