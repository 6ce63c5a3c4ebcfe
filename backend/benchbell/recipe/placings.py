"""How the parts of a piece lie, made from `lies` of the recipe: each kind of part after those whose faces it uses."""

from collections.abc import Callable, Mapping
from math import prod

from msgspec import Struct, field

from benchbell.findings import Refused, use_one_of
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.lies_text import LiesText, OffText
from benchbell.recipe.measure import ANGLE, LENGTH, Dim
from benchbell.recipe.named_sizes import FormulaScope, checked_formula, circles_in, positive_lengths
from benchbell.recipe.placing import Axis, How, Placing, TakenOff, Tenon
from benchbell.recipe.placing_words import WhereText, faces_in, lies_formulas, where_text
from benchbell.recipe.sheet import Formula
from benchbell.recipe.solids.layout import PAIRS, LaidPart, copies_of, faces_of
from benchbell.recipe.solids.shapes import SIDES
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import PartText, Recipe

AXES: tuple[Axis, ...] = ("x", "y", "z")


class Draft(Struct, frozen=True):
    """A part that says how it lies. where: by axis, the places as written. uses: the parts whose faces it uses."""

    row: int
    part: PartText
    lies: LiesText
    where: Mapping[Axis, list[WhereText]]
    uses: set[str]

    @property
    def path(self) -> Path:
        """Its place in the file."""
        return ("part", self.row, "lies")

    @property
    def about(self) -> str:
        """Its name in findings."""
        return f"Part {self.part.id}"

    @property
    def count(self) -> int:
        """How many there are in the finished piece."""
        return self.lies.count or self.part.count


class Layout(Struct):
    """The parts placed so far: for the sheet, and where they lie with the drawing's sizes."""

    scope: FormulaScope
    findings: FindingList
    placings: list[Placing] = field(default_factory=list)
    laid: list[LaidPart] = field(default_factory=list)


def all_placings(recipe: Recipe, scope: FormulaScope, findings: FindingList) -> Layout:
    """Every part that says how it lies, in an order in which each uses faces of earlier ones only."""
    own = FormulaScope(scope.functions, scope.units, dict(scope.dims), dict(scope.plan), scope.broken)
    layout = Layout(own, findings)
    rows = {part.id: (row, part) for row, part in enumerate(recipe.part)}
    drafts = {id: draft for id, (row, part) in rows.items() if (draft := draft_of(row, part, rows, findings))}
    for id, (_, part) in rows.items():
        if part.lies is not None and id not in drafts:
            cannot_be_placed(part, layout)
    waiting = {id: draft.uses & drafts.keys() for id, draft in drafts.items()}
    while free := [id for id, uses in waiting.items() if not uses & waiting.keys()]:
        for id in free:
            place(drafts[id], layout)
            del waiting[id]
    for circle in circles_in({id: uses & waiting.keys() for id, uses in waiting.items()}):
        what = f"The place of part {circle[0]} needs itself: {' needs '.join(circle)}."
        findings.error("lies-circle", drafts[circle[0]].path, what, "Place one of them by a size.")
    return layout


def draft_of(row: int, part: PartText, rows: Mapping[str, tuple[int, PartText]], findings: FindingList) -> Draft | None:
    """A part with its places read; None when it does not say how it lies, or a word of it is wrong."""
    lies = part.lies
    if lies is None:
        return None
    where: dict[Axis, list[WhereText]] = {}
    for axis in AXES:
        written = getattr(lies, axis)
        try:
            where[axis] = [
                where_text(text, axis) for text in ([written] if isinstance(written, str) else written or ())
            ]
        except Refused as error:
            findings.add_refusal("lies", ("part", row, "lies"), f"Part {part.id}", error)
            return None
    copies = {name: id for id, (_, other) in rows.items() for name in drawn_names(other)}
    uses = {copies.get(name, name) for name in faces_in(lies_formulas(lies))}
    draft = Draft(row, part, lies, where, uses)
    return draft if all([faces_are_drawn(draft, copies, rows, findings), copies_fit(draft, findings)]) else None


def drawn_names(part: PartText) -> list[str]:
    """The names under which a part's faces may be used: its own, for the first copy, and each copy's."""
    if part.lies is None:
        return []
    return [part.id, *(f"{part.id}-{n}" for n in range(1, (part.lies.count or part.count) + 1))]


def faces_are_drawn(
    draft: Draft, copies: Mapping[str, str], rows: Mapping[str, tuple[int, PartText]], findings: FindingList
) -> bool:
    """Whether all parts whose faces it uses are drawn; if not, add a finding."""
    for name in sorted(draft.uses - set(copies.values())):
        there = name in rows or any(name.startswith(f"{id}-") for id in rows if rows[id][1].lies is None)
        what = f"{draft.about} is placed by {name}, which {'is not drawn' if there else 'is not a part of the recipe'}."
        next_step = f"Say how {name} lies too, or use a size." if there else use_one_of(name, copies)
        findings.error("lies-face", draft.path, what, next_step)
    return draft.uses <= set(copies.values())


def copies_fit(draft: Draft, findings: FindingList) -> bool:
    """Whether as many copies lie somewhere as there are; if not, add a finding."""
    try:
        copies_by_axis(draft)
    except Refused as error:
        findings.add_refusal("lies-count", draft.path, draft.about, error)
        return False
    return True


def copies_by_axis(draft: Draft) -> dict[Axis, int]:
    """How many copies differ on each axis, fastest first. Raises Refused when that is not its number of copies."""
    many: dict[Axis, int] = {}
    rows = [axis for axis, places in draft.where.items() if any(one.how == "row" for one in places)]
    for axis, places in draft.where.items():
        about_middle = [one for one in places if one.how in (*PAIRS, "row")]
        if len(places) > 1 and about_middle:
            raise Refused(f"{axis} lists several places, one of them “{about_middle[0].how}”.", "List single places.")
        if about_middle or len(places) > 1:
            many[axis] = max(2, len(places)) if axis not in rows else 1
    if len(rows) == 1:
        many[rows[0]] = max(1, draft.count // prod(many.values()))
    if len(rows) > 1 or prod(many.values()) != draft.count:
        what = f"there are {draft.count} of it, but its places are for {prod(many.values())}."
        raise Refused(what, "Add a place, or correct the count.")
    return in_written_order(draft, many)


def in_written_order(draft: Draft, many: Mapping[Axis, int]) -> dict[Axis, int]:
    """The axes on which copies differ in the order of `copies`. Raises Refused when it names others."""
    order = draft.lies.copies.split() or list(many)
    if order == ["around"]:
        if many != {"x": 2, "y": 2}:
            raise Refused("copies go around, but it is no four corners.", "Give x and y a pair each.")
        order = ["x", "y"]
    if sorted(order) != sorted(many):
        what = f"copies says “{draft.lies.copies}”, but they differ in {' and '.join(many) or 'nothing'}."
        raise Refused(what, "Name each axis in which they differ once, the fastest first.")
    return {axis: many[axis] for axis in sorted(many, key=order.index)}


def place(draft: Draft, layout: Layout) -> None:
    """Compile one part's lies and lay its copies; adds a finding when that fails."""
    before = len(layout.findings.found)
    placing = placing_of(draft, layout)
    if placing is None or len(layout.findings.found) > before:
        cannot_be_placed(draft.part, layout)
        return
    try:
        copies = copies_of(placing, layout.scope.plan, layout.laid)
    except Refused as error:
        layout.findings.add_refusal("lies", draft.path, draft.about, error)
        cannot_be_placed(draft.part, layout)
        return
    faces = faces_of(placing, copies)
    layout.scope.plan |= faces
    layout.scope.dims |= dict.fromkeys(faces, LENGTH)
    layout.placings.append(placing)
    layout.laid += copies


def cannot_be_placed(part: PartText, layout: Layout) -> None:
    """Note that formulas with the faces of a part give no findings of their own: the part has one."""
    layout.scope.broken |= {f"{name}.{side}" for name in drawn_names(part) for side in SIDES}


def placing_of(draft: Draft, layout: Layout) -> Placing | None:
    """One part's row for the sheet; None when a formula is wrong, or uses what is wrong itself."""
    lies = draft.lies
    wrong: list[str] = []

    def formula(text: str, dim: Dim = LENGTH) -> Formula:
        checked = checked_formula(text, layout.scope, draft.path, draft.about, layout.findings, dim) if text else None
        wrong.extend((text,) if text and not checked else ())
        return checked.compiled.postfix if checked else ()

    path = draft.path if lies.size else ("part", draft.row, "size")
    size = positive_lengths(lies.size or draft.part.size, layout.scope, path, draft.about, layout.findings)
    if len(size) != 3:
        if not layout.scope.broken and not layout.findings.has_error:
            layout.findings.error(
                "lies", draft.path, f"{draft.about} lies, but has no three sizes.", "Give lies a size."
            )
        return None
    where: dict[Axis, tuple[tuple[How, Formula], ...]] = {
        axis: tuple((one.how, formula(one.formula)) for one in places) for axis, places in draft.where.items()
    }
    tenon = None
    if lies.tenon:
        long, thick, wide, up = map(formula, (lies.tenon.long, lies.tenon.thick, lies.tenon.wide, lies.tenon.up))
        tenon = Tenon(long, thick, wide, up, lies.tenon.end)
    lean = {axis: text for axis in AXES[:2] if lies.lean and (text := getattr(lies.lean, axis))}
    placing = Placing(
        part=draft.part.id,
        count=draft.count,
        way=lies.way,
        size=tuple(one.compiled.postfix for one in size),
        x=where["x"],
        y=where["y"],
        z=where["z"],
        copies=copies_by_axis(draft),
        around=lies.copies == "around",
        tenon=tenon,
        off=tuple(off(one, draft, formula, layout.findings) for one in lies.off),
        lean={axis: formula(text, ANGLE) for axis, text in lean.items()},
        round=formula(lies.round),
        bow=formula(lies.bow),
        rests=bent_bed(draft, layout),
    )
    return None if wrong else placing


def off(written: OffText, draft: Draft, formula: Callable[[str], Formula], findings: FindingList) -> TakenOff:
    """What is taken off one edge. An edge that no two faces make, or a wrong distance, adds a finding."""
    faces = written.edge.split()
    axes = [AXES[SIDES[face][0]] for face in faces if face in SIDES]
    distances = {axis: text for axis in AXES if (text := getattr(written, axis))}
    if len(faces) != 2 or len(set(axes)) != 2 or sorted(axes) != sorted(distances):
        what = f"{draft.about} has taken off the edge “{written.edge}” by {' and '.join(distances) or 'nothing'}."
        next_step = 'Name two faces that meet and how far it goes on both: { edge = "top left", x = "…", z = "…" }.'
        findings.error("lies", draft.path, what, next_step)
    return TakenOff(tuple(faces), {axis: formula(text) for axis, text in distances.items()}, written.shape)


def bent_bed(draft: Draft, layout: Layout) -> str:
    """The name of the bent part that a part lies on; "" when it lies on none."""
    on = next((one.on for one in draft.where["z"] if one.on), "")
    bent = {placing.part for placing in layout.placings if placing.bow}
    return next((one.name for one in layout.laid if one.part in bent and on in (one.name, one.part)), "")
