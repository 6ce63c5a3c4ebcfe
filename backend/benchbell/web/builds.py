"""Starts a build from a recipe."""

import asyncio

from litestar import post
from litestar.di import NamedDependency as Given
from litestar.params import RawBody

from benchbell.bench.book import Book
from benchbell.bench.happenings import SHOP
from benchbell.bench.shop import shop_of
from benchbell.findings import Finding
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.expansion import Fragments
from benchbell.recipe.sheet import Sheet
from benchbell.recipe.shop_profile import ShopProfile, profile_from
from benchbell.store.records import Records
from benchbell.web.body import decoded, json_body
from benchbell.web.errors import REFUSALS, HasErrors
from benchbell.web.messages import BuildStarted, NewBuild
from benchbell.web.recipes import fragments_of, recipe_text
from benchbell.web.runtime import ShopRuntime


@post(
    "/builds",
    status_code=200,
    request_max_body_size=50_000,
    responses=REFUSALS,
    operation_class=json_body(NewBuild),
    summary="Start a build; the same id again starts no second one",
)
async def start_build(body: RawBody, shop: Given[ShopRuntime]) -> BuildStarted:
    """Compile the recipe for this shop and record the build.

    Raises HasErrors with the findings, NotHere for an unknown recipe, Unreadable, StoreError.
    """
    wanted = decoded(body, NewBuild)
    text = await asyncio.to_thread(recipe_text, shop.settings, wanted.recipe)
    profile = await current_profile(shop.records)
    sheet = await asyncio.to_thread(compiled_for, wanted, text, profile, fragments_of(shop.settings))
    started = await shop.records.start_build(
        build=wanted.id,
        name=wanted.name,
        sheet=sheet,
        recipe=text,
        when=shop.server_clock.when(),
        random_bytes=shop.settings.random_bytes,
    )
    shop.listeners.announce(await shop.records.newest_position())
    return BuildStarted(wanted.id, started.name, started.codes)


def compiled_for(wanted: NewBuild, text: str, profile: ShopProfile, fragments: Fragments) -> Sheet:
    """The sheet of the build. Raises HasErrors with the findings: of the recipe, or of what was chosen."""

    def sheet_with(choices: dict[str, str]) -> Sheet:
        return compile_text(text, f"{wanted.recipe}.toml", wanted.pieces, profile, choices, fragments)

    sheet = sheet_with(wanted.choices)
    if not (wrong := errors_of(sheet)):
        return sheet
    if wanted.choices and not errors_of(sheet_with({})):
        raise HasErrors(f"What was chosen does not fit the recipe {wanted.recipe}.", "Choose again.", wrong)
    raise HasErrors(f"The recipe {wanted.recipe} has {len(wrong)} errors.", "Correct the recipe first.", wrong)


def errors_of(sheet: Sheet) -> tuple[Finding, ...]:
    """The findings that forbid building from a sheet."""
    return tuple(finding for finding in sheet.findings if finding.grade == "error")


async def current_profile(records: Records) -> ShopProfile:
    """What the compiler needs to know of the shop, from its current settings. Raises StoreError."""
    book = Book()
    for happening in await records.happenings_of(SHOP):
        book.add(happening)
    return profile_from(shop_of(book).settings)
