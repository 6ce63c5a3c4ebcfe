"""`benchbell check` and `benchbell sheet`: a recipe's findings, and its ordered operations, on the terminal."""

import argparse
import sys
import tomllib
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import msgspec

from benchbell.durations import MINUTE_MS
from benchbell.findings import Refused
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.measure import TIME, dim_named, show
from benchbell.recipe.read import MOST_BYTES
from benchbell.recipe.sheet import ClockSpec, Operation, Setup, Sheet
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.written import Recipe


def add_to(subparsers: Any) -> None:
    """Add both commands."""
    check = subparsers.add_parser("check", help="say what is wrong, or worth knowing, about recipes")
    check.add_argument("recipe", nargs="*", type=Path, help="a recipe's TOML file")
    check.add_argument(
        "--schema", action="store_true", help="print the JSON Schema of the recipe language, for editors"
    )
    check.set_defaults(run=run_check)
    sheet = subparsers.add_parser("sheet", help="print a recipe's operations in order")
    sheet.add_argument("recipe", type=Path, help="a recipe's TOML file")
    sheet.add_argument("--pieces", type=int, default=1, help="how many pieces to build, 1 to 26")
    sheet.set_defaults(run=run_sheet)
    for command in (check, sheet):
        command.add_argument("--shop", type=Path, help="a TOML file with the shop's air, clamps and labels")
        command.add_argument("--json", action="store_true", help="print one JSON object")


def run_check(args: argparse.Namespace) -> int:
    """Findings of each recipe; 1 when one has an error."""
    if args.schema:
        print_json(schema())
        return 0
    if not args.recipe:
        raise Refused("No recipe is named.", "Write benchbell check recipes/NAME.toml.")
    shop = read_shop(args.shop)
    sheets = [sheet_of(path, 1, shop) for path in args.recipe]
    if args.json:
        print_json({"findings": [finding for sheet in sheets for finding in sheet.findings]})
    else:
        for sheet in sheets:
            print(told(sheet))
    return 1 if any(has_error(sheet) for sheet in sheets) else 0


def schema() -> dict[str, Any]:
    """The JSON Schema of the recipe language, for editors that complete and check as one types."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **msgspec.json.schema(Recipe)}


def run_sheet(args: argparse.Namespace) -> int:
    """The sheet of a build; 1 when the recipe has an error."""
    sheet = sheet_of(args.recipe, args.pieces, read_shop(args.shop))
    if args.json:
        print_json(sheet)
    elif has_error(sheet):
        print(told(sheet), file=sys.stderr)
    else:
        print("\n".join(lines_of(sheet)))
    return 1 if has_error(sheet) else 0


def sheet_of(path: Path, pieces: int, shop: ShopProfile) -> Sheet:
    """A recipe's file compiled. Raises Refused when there is no such file, or it is no text."""
    return compile_text(read_text(path), str(path), pieces, shop)


def read_text(path: Path) -> str:
    """A file's text; one that is far too long is read no further than it takes to say so."""
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
        return content.decode(errors="strict" if len(content) <= MOST_BYTES else "replace")
    except UnicodeDecodeError as error:
        raise Refused(f"{path} is not text in UTF-8.", "Save it as plain text.") from error
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror}.", "Check the file's name.") from error


def read_shop(path: Path | None) -> ShopProfile:
    """The shop's file; the usual shop where none is named."""
    if path is None:
        return ShopProfile()
    try:
        return msgspec.convert(tomllib.loads(read_text(path)), ShopProfile)
    except (tomllib.TOMLDecodeError, msgspec.ValidationError) as error:
        raise Refused(f"{path} is no shop file: {error}.", "It has celsius, humidity, clamps, labels.") from error


def has_error(sheet: Sheet) -> bool:
    """Whether it is not to be built from."""
    return any(finding.grade == "error" for finding in sheet.findings)


def told(sheet: Sheet) -> str:
    """Findings, a line each, or that it is sound."""
    if sheet.findings:
        return "\n".join(str(finding) for finding in sheet.findings)
    return f"{sheet.recipe}: sound. {len(sheet.operations)} operations, {len(sheet.parts)} parts."


def lines_of(sheet: Sheet) -> Iterable[str]:
    """The sheet for reading: each operation with what it needs, cautions, materials and hardware."""
    hands = minutes(sum(op.minutes for op in sheet.operations))
    pieces = ", ".join(sheet.pieces)
    yield f"{sheet.title}, pieces {pieces}: {len(sheet.operations)} operations, {hands} of attended work"
    for number, op in enumerate(sheet.operations, 1):
        yield ""
        yield f"{number:3}. {op.title}  [{op.id}]"
        yield from (f"     {line}" for line in about(op, sheet))
    yield ""
    yield "Cautions, beside the tool maker's manual and the glue's label, never in place of them:"
    for name, text in sheet.cautions.items():
        yield f"  ! {name}: {text}"
    yield ""
    for row in sheet.materials:
        volume = f" ({row.cubic_m:.3g} m³)" if row.material == "solid" else ""
        amount = f"{row.amount:.3g} {row.unit}{volume}"
        yield f"{row.stock}: {amount} with {row.allowance_percent:g} % allowance, {row.parts} parts"
    for item in sheet.hardware:
        yield f"{item.name}: {item.count:g} {item.unit}".rstrip()


def about(op: Operation, sheet: Sheet) -> Iterable[str]:
    """One operation's lines."""
    yield f"{op.station}, {minutes(op.minutes)} attended"
    yield from (setup_told(op, setup, sheet) for setup in sheet.setups if setup.id == op.setup)
    if op.parts:
        yield f"parts {', '.join(with_copies(op.parts))}" + (f" → {op.makes}" if op.makes else "")
    if have := [*op.needs, *(f"{count} {kind} clamps" for kind, count in op.clamps.items())]:
        yield f"have ready: {', '.join(have)}"
    for clock in op.clocks:
        yield f"clock {clock.kind}: {clock_told(clock)} ({clock.source})"
    for hold in op.holds:
        yield f"only when {hold.operation}'s {hold.clock} is over"
    for size in sheet.sizes:
        if size.name in op.measure:
            yield f"measure {size.name}, planned {show(size.plan, dim_named(size.dim), sheet.units)}: {size.measure}"
        elif size.name in op.sizes:
            yield f"size {size.name}: {show(size.plan, dim_named(size.dim), sheet.units)}"
    yield from (f"- {step}" for step in op.do)
    yield from (f"check: {check}" for check in op.checks)
    if op.cautions:
        yield f"! {', '.join(op.cautions)}"


def setup_told(op: Operation, setup: Setup, sheet: Sheet) -> str:
    """A setup's values, what it costs, and its proof cut."""
    values = [f"{value.name} {show(value.plan, dim_named(value.dim), sheet.units)}" for value in setup.set]
    change = f"{minutes(op.setup_minutes)} to set up" if op.setup_minutes else "stands already"
    prove = f". Prove: {setup.prove}" if setup.prove else ""
    return f"setup {setup.id} ({change}): {', '.join(values)}{prove}"


def with_copies(parts: Sequence[str]) -> list[str]:
    """Ids for reading: A/leg-1, A/leg-2, A/leg-3 become A/leg-1…3."""
    runs: list[list[str]] = []
    for id in parts:
        if runs and follows(runs[-1][-1], id):
            runs[-1].append(id)
        else:
            runs.append([id])
    return [run[0] + (f"…{run[-1].rpartition('-')[2]}" if len(run) > 1 else "") for run in runs]


def follows(one: str, next_one: str) -> bool:
    """Whether these are copies of one part, the second next after the first."""
    (name, _, number), (next_name, _, next_number) = one.rpartition("-"), next_one.rpartition("-")
    digits = number.isdigit() and next_number.isdigit()
    return digits and name == next_name and int(next_number) == int(number) + 1


def clock_told(clock: ClockSpec) -> str:
    """A clock's time in words."""
    least = "" if clock.least_ms is None else f"at least {minutes(clock.least_ms / MINUTE_MS)}"
    most = "" if clock.most_ms is None else f"at most {minutes(clock.most_ms / MINUTE_MS)}"
    return ", ".join(text for text in (least, most) if text)


def minutes(value: float) -> str:
    """Minutes for reading."""
    return show(value, TIME, "mm")


def print_json(value: Any) -> None:
    """One JSON object, for programs."""
    print(msgspec.json.format(msgspec.json.encode(value), indent=2).decode())
