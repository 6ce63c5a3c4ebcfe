"""Starts a build from a recipe."""

import asyncio

from litestar import post
from litestar.di import NamedDependency as Given
from litestar.params import RawBody

from benchbell.bench.book import Book
from benchbell.bench.happenings import SHOP
from benchbell.bench.shop import shop_of
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.shop_profile import ShopProfile, profile_from
from benchbell.store.records import Records
from benchbell.web.body import decoded, json_body
from benchbell.web.errors import REFUSALS, HasErrors
from benchbell.web.messages import BuildStarted, NewBuild
from benchbell.web.recipes import recipe_text
from benchbell.web.runtime import ShopRuntime


@post(
    "/builds",
    status_code=200,
    request_max_body_size=10_000,
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
    sheet = await asyncio.to_thread(compile_text, text, f"{wanted.recipe}.toml", wanted.pieces, profile)
    wrong = tuple(finding for finding in sheet.findings if finding.grade == "error")
    if wrong:
        raise HasErrors(f"The recipe {wanted.recipe} has {len(wrong)} errors.", "Correct the recipe first.", wrong)
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


async def current_profile(records: Records) -> ShopProfile:
    """What the compiler needs to know of the shop, from its current settings. Raises StoreError."""
    book = Book()
    for happening in await records.happenings_of(SHOP):
        book.add(happening)
    return profile_from(shop_of(book).settings)
