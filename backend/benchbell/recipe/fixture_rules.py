"""Rules for fixtures: made before they are used, enough of them, owned by the shop, and freed again."""

from collections import Counter
from collections.abc import Iterator

from benchbell.findings import use_one_of
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import Fixture, Operation
from benchbell.recipe.shop_profile import fixture_count


def fixtures_made_first(context: RuleContext) -> None:
    """Rule: whatever a fixture is made of is made, or worked, before anything stands in it."""
    for op in context.first_piece:
        made = {id: fixture for fixture, _ in held(op, context) for id in fixture.of}
        before = context.all_before(op) if made else set()
        for id in sorted(made.keys() - worked_in(context, before | {op.id})):
            say_not_made(op, made[id], id, context)


def worked_in(context: RuleContext, ids: set[str]) -> set[str]:
    """The parts and assemblies that these operations work on or make."""
    ops = [op for op in context.sheet.operations if op.id in ids]
    return {one for op in ops for one in (*op.parts, op.makes) if one}


def say_not_made(user: Operation, fixture: Fixture, id: str, context: RuleContext) -> None:
    """Add a finding about a part of a fixture that is made too late, or by nobody. id: of the part."""
    name, path = id.rpartition("/")[2], context.path(user, "fixtures")
    maker = next((op.name for op in context.sheet.operations if id in (*op.parts, op.makes)), None)
    if maker is None:
        path = ("fixture", [one.id for one in context.recipe.fixture].index(fixture.name), "made")
        what = f"Fixture {fixture.name} is made as {name}, which no operation makes."
        context.findings.error("unmade-fixture", path, what, f"Add the operation that makes it, before {user.name}.")
    else:
        what = f"Operation {user.name} uses {name}, which is made only in {maker}."
        next_step = f'Move {maker} up, before {user.name}, or add after = ["{maker}"].'
        context.findings.error("made-after-use", path, what, next_step)


def fixtures_enough(context: RuleContext) -> None:
    """Rule: an operation holds no more of a fixture than there are; of the shop's own, as far as they are counted."""
    for op in context.first_piece:
        for fixture, count in held(op, context):
            have = len(fixture.of) if fixture.of else owned_by_shop(fixture, context)
            if have is not None and count > have:
                what = f"Operation {op.name} holds {count} of {fixture.name}, and there are {have}."
                next_step = "Hold fewer at once, or make more." if fixture.of else "Hold fewer at once, or count again."
                context.findings.error("too-few-fixtures", context.path(op, "fixtures"), what, next_step)


def held(op: Operation, context: RuleContext) -> Iterator[tuple[Fixture, int]]:
    """The fixtures of an operation, and how many of each."""
    fixtures = {fixture.id: fixture for fixture in context.sheet.fixtures}
    return ((fixtures[id], count) for id, count in op.fixtures.items())


def owned_by_shop(fixture: Fixture, context: RuleContext) -> int | None:
    """How many of a fixture the shop counts; None when it does not have that one, or counts none at all."""
    return fixture_count(context.shop.fixtures, fixture.owned)


def fixtures_owned(context: RuleContext) -> None:
    """Rule: every fixture is used, and the shop has those that it is said to own.

    Without counted fixtures the shop is taken to have them.
    """
    used = {id for op in context.sheet.operations for id in op.fixtures}
    one_of_each = {fixture.name: fixture for fixture in reversed(context.sheet.fixtures)}
    for row, written in enumerate(context.recipe.fixture):
        fixture, path = one_of_each[written.id], ("fixture", row)
        if fixture.id not in used:
            what = f"Fixture {written.id} is held by no operation."
            context.findings.warn("unused", path, what, "Name it in an operation's fixtures, or take it out.")
        elif fixture.owned and context.shop.fixtures and owned_by_shop(fixture, context) is None:
            what = f"Fixture {written.id} is the shop's “{fixture.owned}”, which the shop does not have."
            context.findings.warn(
                "not-owned",
                (*path, "owned"),
                what,
                use_one_of(fixture.owned, context.shop.fixtures, "on the Shop screen"),
            )


def fixtures_freed(context: RuleContext) -> None:
    """Rule: what frees a fixture comes after what holds it, and does not itself wait for that fixture."""
    by_id = {op.id: op for op in context.sheet.operations}
    for op in context.sheet.operations:
        if not op.held_until:
            continue
        before = context.all_before(by_id[op.held_until])
        if op.id not in before:
            say_never_freed(op, by_id[op.held_until], "which does not come after it", context)
        elif waits := next(between(op, [by_id[id] for id in sorted(before)], context), None):
            other = f"{waits.name} of another piece" if waits.name == op.name else waits.name
            say_never_freed(op, by_id[op.held_until], f"which comes after {other}, and that needs them too", context)


def between(op: Operation, before: list[Operation], context: RuleContext) -> Iterator[Operation]:
    """Operations that wait for a fixture which is freed only after they are done."""
    for fixture, count in held(op, context):
        have = len(fixture.of) if fixture.of else owned_by_shop(fixture, context) or count
        rivals = [other for other in before if other.id != op.id and fixture.id in other.fixtures]
        together = Counter({op.id: count})
        for other in rivals:
            if other.held_until == op.held_until:
                together[other.id] = other.fixtures[fixture.id]
                needed = together.total()
            else:
                needed = count + other.fixtures[fixture.id] if op.id in context.all_before(other) else 0
            if needed > have:
                yield other


def say_never_freed(op: Operation, until: Operation, why: str, context: RuleContext) -> None:
    """Add a finding about fixtures that an operation holds for good."""
    context.findings.error(
        "never-freed",
        context.path(op, "held_until"),
        f"Operation {op.name} holds its fixtures until {until.name}, {why}.",
        "Name the operation that takes the work out, right after this one.",
    )
