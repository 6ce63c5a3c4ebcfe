"""A build's labels: as a PDF, as a page to print from the browser, and what to know before printing.

Their squares open the server under the name by which it was asked.
"""

import asyncio
from typing import Annotated, Any
from urllib.parse import urlencode

from litestar import Request, Response, get
from litestar.di import NamedDependency as Given
from litestar.di import Provide
from litestar.params import QueryParameter
from msgspec import Struct, structs

from benchbell.bench.book import Book
from benchbell.labels.html import labels_page, page_style
from benchbell.labels.label import Label, current_labels
from benchbell.labels.lettering import Lettering, built_in, in_a_browser
from benchbell.labels.messages import LabelsTold
from benchbell.labels.options import Asked, chosen, copies_of, layout_of
from benchbell.labels.pdf import labels_pdf
from benchbell.labels.printing import Printed, printed, told
from benchbell.store.records import Records
from benchbell.web.errors import PROBLEMS, NotHere
from benchbell.web.log_routes import BuildId, to_keep
from benchbell.web.runtime import ShopRuntime

Words = Annotated[str, QueryParameter(max_length=60)]
Count = Annotated[int, QueryParameter(ge=1, le=10_000)]
Rows = Annotated[int | None, QueryParameter(ge=1, le=100)]
Names = Annotated[list[str] | None, QueryParameter(max_items=500)]

USUAL = Asked()


class Wanted(Struct, frozen=True):
    """What the address asks for: how to print, which labels, and the name of this server."""

    asked: Asked
    kinds: tuple[str, ...]
    only: tuple[str, ...]
    host: str


def asked_of(
    paper: Words = USUAL.paper,
    rows: Rows = None,
    columns: Rows = None,
    size: Words = USUAL.size,
    margins: Words = USUAL.margins,
    gaps: Words = USUAL.gaps,
    first: Count = 1,
    copies: Count = 1,
) -> Asked:
    """How to print, in the words of `benchbell labels`."""
    return Asked(paper, rows, columns, size, margins, gaps, first, copies)


def wanted_of(request: Request[Any, Any, Any], asked: Given[Asked], kind: Names = None, only: Names = None) -> Wanted:
    """All that the address asks for."""
    return Wanted(asked, tuple(kind or ()), tuple(only or ()), request.headers.get("host", "localhost"))


HOW = {"asked": Provide(asked_of, sync_to_thread=False)}
WANTED = {**HOW, "wanted": Provide(wanted_of, sync_to_thread=False)}


async def labels_of(records: Records, build: str, wanted: Wanted) -> tuple[Label, ...]:
    """The build's labels that were asked for. Raises NotHere, Refused."""
    happenings = await records.happenings_of(build) if build else []
    labels = await asyncio.to_thread(lambda: current_labels(Book(happenings)))
    if not labels:
        raise NotHere(f"There is no build {build}.", "Open it from the list of builds.")
    return chosen(labels, wanted.kinds, wanted.only)


def laid_out(labels: tuple[Label, ...], wanted: Wanted, lettering: Lettering) -> Printed:
    """The labels' faces."""
    copies = copies_of(wanted.asked, len(labels))
    return printed(labels, layout_of(wanted.asked), wanted.host, lettering, copies)


@get("/builds/{build:str}/labels.json", dependencies=WANTED, responses=PROBLEMS, summary="What printing labels takes")
async def labels_json(build: BuildId, shop: Given[ShopRuntime], wanted: Given[Wanted]) -> LabelsTold:
    """How many labels and pages, and what to know before they are printed."""
    labels = await labels_of(shop.records, build, wanted)
    return told(await asyncio.to_thread(laid_out, labels, wanted, built_in()), layout_of(wanted.asked))


@get(
    "/builds/{build:str}/labels.pdf",
    dependencies=WANTED,
    responses=PROBLEMS,
    media_type="application/pdf",
    summary="A build's labels to print",
)
async def labels_pdf_file(build: BuildId, shop: Given[ShopRuntime], wanted: Given[Wanted]) -> Response[bytes | str]:
    """As large as they are; print it at 100 %."""
    body = await asyncio.to_thread(pdf_of, await labels_of(shop.records, build, wanted), wanted)
    return to_keep(body, "labels.pdf", "application/pdf")


def pdf_of(labels: tuple[Label, ...], wanted: Wanted) -> bytes:
    """The file."""
    lettering = built_in()
    return labels_pdf("Labels", laid_out(labels, wanted, lettering).faces, layout_of(wanted.asked), lettering)


@get(
    "/builds/{build:str}/labels.html",
    dependencies=WANTED,
    responses=PROBLEMS,
    media_type="text/html",
    summary="A build's labels to print from the browser",
)
async def labels_html(build: BuildId, shop: Given[ShopRuntime], wanted: Given[Wanted]) -> str:
    """For letters that the PDF's fonts do not have."""
    return await asyncio.to_thread(page_of, await labels_of(shop.records, build, wanted), wanted)


def page_of(labels: tuple[Label, ...], wanted: Wanted) -> str:
    """The page."""
    how = {name: value for name, value in structs.asdict(wanted.asked).items() if value is not None}
    style = f"/labels.css?{urlencode(how)}"
    return labels_page("Labels", laid_out(labels, wanted, in_a_browser()).faces, layout_of(wanted.asked), style)


@get(
    "/labels.css", dependencies=HOW, responses=PROBLEMS, media_type="text/css", opt={"open": True}, summary="Its style"
)
async def labels_css(asked: Given[Asked]) -> str:
    """Nothing but the paper's size: a browser fetches it without a token."""
    return page_style(layout_of(asked))


LABEL_ROUTES = (labels_json, labels_pdf_file, labels_html, labels_css)
