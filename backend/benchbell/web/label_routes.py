"""A build's labels: as a PDF, as a page to print from the browser, and their number before printing.

Their QR codes hold this server's address as the request's Host header gives it.
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
from benchbell.labels.messages import LabelNotes
from benchbell.labels.options import PrintOptions, chosen_labels, copies_of, layout_of
from benchbell.labels.pdf import labels_pdf
from benchbell.labels.printing import LabelFaces, label_faces, label_notes
from benchbell.store.records import Records
from benchbell.web.errors import REFUSALS, NotHere
from benchbell.web.log_routes import BuildId, attachment
from benchbell.web.runtime import ShopRuntime

Words = Annotated[str, QueryParameter(max_length=60)]
Count = Annotated[int, QueryParameter(ge=1, le=10_000)]
Rows = Annotated[int | None, QueryParameter(ge=1, le=100)]
Names = Annotated[list[str] | None, QueryParameter(max_items=500)]

USUAL = PrintOptions()


class Wanted(Struct, frozen=True):
    """A request for labels. asked: the layout. kinds, only: which labels. host: this server's name."""

    asked: PrintOptions
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
) -> PrintOptions:
    """The layout that the query asks for, with the options of `benchbell labels`."""
    return PrintOptions(paper, rows, columns, size, margins, gaps, first, copies)


def wanted_of(
    request: Request[Any, Any, Any], asked: Given[PrintOptions], kind: Names = None, only: Names = None
) -> Wanted:
    """The whole request for labels."""
    return Wanted(asked, tuple(kind or ()), tuple(only or ()), request.headers.get("host", "localhost"))


HOW = {"asked": Provide(asked_of, sync_to_thread=False)}
WANTED = {**HOW, "wanted": Provide(wanted_of, sync_to_thread=False)}


async def labels_of(records: Records, build: str, wanted: Wanted) -> tuple[Label, ...]:
    """The requested labels of a build. Raises NotHere for an unknown build, Refused, StoreError."""
    happenings = await records.happenings_of(build) if build else []
    labels = await asyncio.to_thread(lambda: current_labels(Book(happenings)))
    if not labels:
        raise NotHere(f"There is no build {build}.", "Open it from the list of builds.")
    return chosen_labels(labels, wanted.kinds, wanted.only)


def laid_out(labels: tuple[Label, ...], wanted: Wanted, lettering: Lettering) -> LabelFaces:
    """The labels laid out for printing. Raises Refused for an impossible layout."""
    copies = copies_of(wanted.asked, len(labels))
    return label_faces(labels, layout_of(wanted.asked), wanted.host, lettering, copies)


@get(
    "/builds/{build:str}/labels.json",
    dependencies=WANTED,
    responses=REFUSALS,
    summary="How many labels and pages a print takes",
)
async def labels_json(build: BuildId, shop: Given[ShopRuntime], wanted: Given[Wanted]) -> LabelNotes:
    """With warnings to read before printing. Raises NotHere, Refused, StoreError."""
    labels = await labels_of(shop.records, build, wanted)
    return label_notes(await asyncio.to_thread(laid_out, labels, wanted, built_in()), layout_of(wanted.asked))


@get(
    "/builds/{build:str}/labels.pdf",
    dependencies=WANTED,
    responses=REFUSALS,
    media_type="application/pdf",
    summary="A build's labels to print",
)
async def labels_pdf_file(build: BuildId, shop: Given[ShopRuntime], wanted: Given[Wanted]) -> Response[bytes | str]:
    """In real size: print it at 100 %. Raises NotHere, Refused, StoreError."""
    body = await asyncio.to_thread(pdf_of, await labels_of(shop.records, build, wanted), wanted)
    return attachment(body, "labels.pdf", "application/pdf")


def pdf_of(labels: tuple[Label, ...], wanted: Wanted) -> bytes:
    """The PDF's bytes. Raises Refused."""
    lettering = built_in()
    return labels_pdf("Labels", laid_out(labels, wanted, lettering).faces, layout_of(wanted.asked), lettering)


@get(
    "/builds/{build:str}/labels.html",
    dependencies=WANTED,
    responses=REFUSALS,
    media_type="text/html",
    summary="A build's labels to print from the browser",
)
async def labels_html(build: BuildId, shop: Given[ShopRuntime], wanted: Given[Wanted]) -> str:
    """For scripts that the PDF's fonts do not have. Raises NotHere, Refused, StoreError."""
    return await asyncio.to_thread(page_of, await labels_of(shop.records, build, wanted), wanted)


def page_of(labels: tuple[Label, ...], wanted: Wanted) -> str:
    """The HTML of the page. Raises Refused."""
    how = {name: value for name, value in structs.asdict(wanted.asked).items() if value is not None}
    style = f"/labels.css?{urlencode(how)}"
    return labels_page("Labels", laid_out(labels, wanted, in_a_browser()).faces, layout_of(wanted.asked), style)


@get(
    "/labels.css",
    dependencies=HOW,
    responses=REFUSALS,
    media_type="text/css",
    opt={"open": True},
    summary="The style of the labels' page",
)
async def labels_css(asked: Given[PrintOptions]) -> str:
    """Only the paper's size, since a browser fetches it without a token. Raises Refused."""
    return page_style(layout_of(asked))


LABEL_ROUTES = (labels_json, labels_pdf_file, labels_html, labels_css)
