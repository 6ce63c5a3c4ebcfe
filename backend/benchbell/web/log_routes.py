"""A build's log as JSON, CSV and PDF."""

import asyncio
from functools import partial
from typing import Annotated

from litestar import Response, get
from litestar.di import NamedDependency as Given
from litestar.params import PathParameter

from benchbell.bench.book import Book
from benchbell.buildlog.csv import operations_csv, story_csv
from benchbell.buildlog.learned import Learned, learned
from benchbell.buildlog.pdf import log_pdf
from benchbell.buildlog.story import BuildLog, build_log
from benchbell.labels.lettering import built_in
from benchbell.store.build_book import book_of_build
from benchbell.store.photos import photo_to_print
from benchbell.store.records import Records
from benchbell.web.errors import REFUSALS, NotHere
from benchbell.web.runtime import ShopRuntime

BuildId = Annotated[str, PathParameter(description="The build's id", max_length=40)]


async def log_of(records: Records, build: str) -> BuildLog:
    """The build's log. Raises NotHere for an unknown build, StoreError."""
    book = await book_of_build(records, build) if build else Book()
    names = await records.device_names()
    log = await asyncio.to_thread(lambda: build_log(build, book, names))
    if log is None:
        raise NotHere(f"There is no build {build}.", "Open it from the list of builds.")
    return log


def attachment(body: bytes | str, name: str, media_type: str) -> Response[bytes | str]:
    """A response that the browser saves as a file of this name."""
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(body, media_type=media_type, headers=headers)


@get("/builds/{build:str}/log.json", responses=REFUSALS, summary="A build's log")
async def log_json(build: BuildId, shop: Given[ShopRuntime]) -> BuildLog:
    """The whole log. Raises NotHere, StoreError."""
    return await log_of(shop.records, build)


@get("/builds/{build:str}/learned.json", responses=REFUSALS, summary="What a build teaches for the next")
async def learned_json(build: BuildId, shop: Given[ShopRuntime]) -> tuple[Learned, ...]:
    """Operations whose real time differs clearly from the recipe's. Raises NotHere, StoreError."""
    return learned(await log_of(shop.records, build))


@get(
    "/builds/{build:str}/log.csv",
    responses=REFUSALS,
    media_type="text/csv",
    summary="The log, one row for each happening",
)
async def log_csv(build: BuildId, shop: Given[ShopRuntime]) -> Response[bytes | str]:
    """For a spreadsheet. Raises NotHere, StoreError."""
    return attachment(story_csv(await log_of(shop.records, build), None), "story.csv", "text/csv")


@get(
    "/builds/{build:str}/operations.csv",
    responses=REFUSALS,
    media_type="text/csv",
    summary="Operations with planned and real times",
)
async def operations_csv_file(build: BuildId, shop: Given[ShopRuntime]) -> Response[bytes | str]:
    """For a spreadsheet. Raises NotHere, StoreError."""
    return attachment(operations_csv(await log_of(shop.records, build), None), "operations.csv", "text/csv")


@get(
    "/builds/{build:str}/log.pdf",
    responses=REFUSALS,
    media_type="application/pdf",
    summary="The log as a document to print",
)
async def log_pdf_file(build: BuildId, shop: Given[ShopRuntime]) -> Response[bytes | str]:
    """On A4, with the photos that are on the server. Raises NotHere, StoreError."""
    pictures = partial(photo_to_print, shop.settings.data)
    body = await asyncio.to_thread(log_pdf, await log_of(shop.records, build), None, built_in(), pictures)
    return attachment(body, "log.pdf", "application/pdf")


LOG_ROUTES = (log_json, learned_json, log_csv, operations_csv_file, log_pdf_file)
