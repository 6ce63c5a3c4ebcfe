"""The trade's warnings: one small function a rule, all in one list. None of them says that a thing is safe."""

from collections.abc import Callable

from benchbell.recipe.lines import Path
from benchbell.recipe.measure import TIME, show
from benchbell.recipe.notes import Notes
from benchbell.recipe.operations import contents, station_is_machine
from benchbell.recipe.sheet import Operation, Sheet
from benchbell.recipe.shop import Shop
from benchbell.recipe.written import Recipe
from benchbell.trade.finish import finish_named
from benchbell.trade.glue import glue_named, open_minutes
from benchbell.trade.stations import station_named, too_small

Rule = Callable[[Recipe, Sheet, Shop, Notes], None]

MINUTE_MS = 60_000


def check(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """Every rule over a sheet without errors; what they find goes into `notes`."""
    for rule in RULES:
        rule(recipe, sheet, shop, notes)


def on_first_piece(sheet: Sheet) -> list[Operation]:
    """Operations of the first piece and of the whole build: the others say nothing new."""
    return [op for op in sheet.operations if op.piece in ("", sheet.pieces[0])]


def path_of(op: Operation, notes: Notes) -> Path:
    """Where an operation stands in the file."""
    return next((path for path, line in notes.lines.items() if line == op.line and len(path) == 2), ())


def minutes(value: float) -> str:
    """A time as a sentence has it."""
    return show(value, TIME, "mm")


def dry_fit_before_glue(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """A glue-up of several parts is rehearsed without glue first."""
    inside = contents(sheet.parts, sheet.assemblies)
    rehearsed: set[str] = set()
    for op in on_first_piece(sheet):
        if op.step == "dry-fit":
            rehearsed.update(one for part in op.parts for one in inside[part])
        if op.step == "glue-up" and len(op.parts) > 1 and not set(op.parts) & rehearsed:
            notes.warn(
                "no-dry-fit",
                path_of(op, notes),
                f"Operation {op.name} glues {len(op.parts)} parts that no dry fit has tried.",
                "Put an operation with dry_fit = true before it, clamps and all.",
            )


def spread_within_open_time(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """Spreading and closing take no longer than the glue stays open."""
    for op in on_first_piece(sheet):
        limit = next((clock.most_ms for clock in op.clocks if clock.kind == "open" and clock.most_ms), None)
        if op.spread_minutes is None or limit is None or op.spread_minutes <= limit / MINUTE_MS:
            continue
        over = op.spread_minutes - limit / MINUTE_MS
        notes.warn(
            "spread-too-long",
            path_of(op, notes),
            f"Operation {op.name}: spreading takes {minutes(op.spread_minutes)}, {op.glue} stays open "
            f"{minutes(limit / MINUTE_MS)} at {shop.celsius:g} °C: {minutes(over)} too long.",
            slower_glue(op, shop),
        )


def slower_glue(op: Operation, shop: Shop) -> str:
    """What to do when a glue-up takes too long."""
    slower = "pva-slow"
    fits = (op.spread_minutes or 0) <= open_minutes(glue_named(slower), max(shop.celsius, 15), shop.humidity)
    if op.glue.startswith("pva") and op.glue != slower and fits:
        return f"Split the glue-up, or use {slower}."
    return "Split the glue-up, or use a glue that stays open for longer."


def clamps_enough(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """A glue-up takes no more clamps than the shop has, once they are counted."""
    if not shop.clamps:
        return
    for op in on_first_piece(sheet):
        for kind, count in op.clamps.items():
            have = shop.clamps.get(kind, 0)
            if count > have:
                notes.warn(
                    "too-few-clamps",
                    path_of(op, notes),
                    f"Operation {op.name} takes {count} {kind} clamps; the shop has {have}.",
                    "Split the glue-up, use another kind, or count the clamps again.",
                )


def warm_enough(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """The shop is no colder than the glue or finish can stand."""
    for op in on_first_piece(sheet):
        name = op.glue or op.finish
        if not name:
            continue
        known = glue_named(name, shop.labels.get(name)) if op.glue else finish_named(name)
        if shop.celsius < known.least_celsius:
            notes.warn(
                "too-cold",
                path_of(op, notes),
                f"Operation {op.name}: {name} wants {known.least_celsius:g} °C at least; "
                f"the shop has {shop.celsius:g} °C.",
                "Warm the shop, the wood and the glue first, or take another.",
            )


def rest_before_machining(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """A rest the recipe shortens is no shorter than the glue's own before a machine touches the joint."""
    for op in on_first_piece(sheet):
        if op.step != "glue-up":
            continue
        rest = next((clock for clock in op.clocks if clock.kind == "rest"), None)
        usual = glue_named(op.glue, shop.labels.get(op.glue)).machine_minutes
        if rest is None or rest.figure is not None or (rest.least_ms or 0) >= usual * MINUTE_MS:
            continue
        holders = [
            one for one in on_first_piece(sheet) if any(h.operation == op.id and h.clock == "rest" for h in one.holds)
        ]
        if holders:
            notes.warn(
                "machined-too-soon",
                path_of(op, notes),
                f"Operation {holders[0].name} machines what {op.name} glued after "
                f"{minutes((rest.least_ms or 0) / MINUTE_MS)}; usual for {op.glue} is {minutes(usual)}.",
                "Lengthen rest, or take it from the glue's label on the shop's page.",
            )


def clamp_long_enough(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """A clamp time the recipe writes is no shorter than the glue's own."""
    for op in on_first_piece(sheet):
        clamp = next((clock for clock in op.clocks if clock.kind == "in-clamps"), None)
        if clamp is None or clamp.figure is not None:
            continue
        glue = glue_named(op.glue, shop.labels.get(op.glue))
        usual = glue.stressed_clamp_minutes if op.stressed else glue.clamp_minutes
        if (clamp.least_ms or 0) < usual * MINUTE_MS:
            notes.warn(
                "clamped-too-short",
                path_of(op, notes),
                f"Operation {op.name} is {minutes((clamp.least_ms or 0) / MINUTE_MS)} in clamps; "
                f"usual for {op.glue} is {minutes(usual)}.",
                "Lengthen clamp, or leave it out to use the glue's figure.",
            )


def parts_large_enough(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """No part is smaller than is usually worked at its station. Copies are all alike, so the first speaks for them."""
    parts = {part.id: part for part in sheet.parts}
    for op in on_first_piece(sheet):
        alike = {parts[id].plan_mm: parts[id] for id in reversed(op.parts) if id in parts}
        for part in reversed(alike.values()):
            small = too_small(station_named(op.station), *part.plan_mm) if len(part.plan_mm) == 3 else ()
            if small:
                notes.warn(
                    "part-too-small",
                    path_of(op, notes),
                    f"Operation {op.name}: {part.name} is {small[0].is_mm:g} mm in {small[0].measure}; "
                    f"{small[0].least_mm:g} mm is the usual least at the {op.station}.",
                    "Work it as part of a longer or wider piece, or use another way. The manual comes first.",
                )


def room_to_move(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """Solid wood is not held fast across its grain."""
    for row, written in enumerate(recipe.operation):
        if written.across == "fixed":
            notes.warn(
                "no-room-to-move",
                ("operation", row, "across"),
                f"Operation {written.id} holds solid wood fast across its grain.",
                "Leave it room: slots, buttons, a panel loose in its groove (`slot`, `panel_gap`).",
            )


def recoat_in_window(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """Coats follow each other no sooner than the finish allows."""
    for row, written in enumerate(recipe.operation):
        if written.coat is None or not written.coat.recoat:
            continue
        finish = finish_named(written.coat.with_)
        op = next(op for op in sheet.operations if op.line == notes.lines.get(("operation", row)))
        recoat = next((clock for clock in op.clocks if clock.kind == "recoat"), None)
        least, most = finish.recoat_least_minutes, finish.recoat_most_minutes
        wait = (recoat.least_ms or 0) / MINUTE_MS if recoat else None
        if wait is not None and least is not None and wait < least:
            notes.warn(
                "recoat-too-soon",
                ("operation", row, "coat"),
                f"Operation {written.id} recoats after {minutes(wait)}; usual for {finish.id} is {minutes(least)}.",
                "Lengthen recoat, or leave it out.",
            )
        if wait is not None and most is not None and wait > most:
            notes.warn(
                "recoat-too-late",
                ("operation", row, "coat"),
                f"Operation {written.id} recoats after {minutes(wait)}; "
                f"past {minutes(most)} {finish.id} wants scuffing.",
                "Shorten recoat, or scuff before the next coat.",
            )


def setup_proved(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """A machine's setup is proved on scrap before parts are cut."""
    used = {op.setup for op in sheet.operations}
    for row, written in enumerate(recipe.setup):
        if written.id not in used:
            what = f"Setup {written.id} is used by no operation."
            notes.warn("unused", ("setup", row), what, "Name it in an operation, or take it out.")
        elif not written.prove and station_is_machine(written.station):
            what = f"Setup {written.id} at the {written.station} has no proof cut."
            notes.warn("no-proof", ("setup", row), what, 'Add prove = "…": what to cut in scrap and how to judge it.')


def nothing_unused(recipe: Recipe, sheet: Sheet, shop: Shop, notes: Notes) -> None:
    """Every part is worked, and every measured size is measured somewhere."""
    worked = {id for op in sheet.operations for id in op.parts}
    for row, part in enumerate(recipe.part):
        ids = [one.id for one in sheet.parts if one.name == part.id or one.name.startswith(f"{part.id}-")]
        if ids and not worked.intersection(ids):
            what = f"Part {part.id} is worked by no operation."
            notes.warn("unused", ("part", row), what, "Name it in an operation's parts, or take it out.")
    taken = {name for op in sheet.operations for name in op.measure}
    for size in sheet.sizes:
        if size.measure and size.name not in taken:
            what = f"Size {size.name} is to be measured, but no operation measures it."
            notes.warn("not-measured", ("size", size.name), what, f'Add measure = ["{size.name}"] where it is taken.')


RULES: tuple[Rule, ...] = (
    dry_fit_before_glue,
    spread_within_open_time,
    clamps_enough,
    warm_enough,
    rest_before_machining,
    clamp_long_enough,
    parts_large_enough,
    room_to_move,
    recoat_in_window,
    setup_proved,
    nothing_unused,
)
