"""The page itself, out of memory: what is not among its files when the server starts is not served."""

import hashlib
import mimetypes
from collections.abc import Collection, Mapping
from pathlib import Path

from litestar.types import ASGIApp, Receive, Scope, Send
from msgspec import Struct

from benchbell.findings import Refused

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".wasm": "application/wasm",
    ".svg": "image/svg+xml",
    ".woff2": "font/woff2",
}
"""Said here rather than by the machine's own table, which differs from one to the next."""

ASK_EACH_TIME = "no-cache"
FOR_EVER = "public, max-age=31536000, immutable"
"""For names that bear a hash of what is in them."""


class PageFile(Struct, frozen=True):
    """One file of the page, ready to send."""

    body: bytes
    headers: tuple[tuple[bytes, bytes], ...]
    etag: bytes


def load_page(folder: Path) -> dict[str, PageFile]:
    """The built page by address, "/" its first file. Raises Refused when it was never built."""
    if not (folder / "index.html").is_file():
        raise Refused(
            f"The page is missing from {folder}.", "Install Benchbell again, or run python backend/build_page.py."
        )
    files = {f"/{file.relative_to(folder).as_posix()}": page_file(file, folder) for file in folder.rglob("*.*")}
    return {**files, "/": files["/index.html"]}


def page_file(file: Path, folder: Path) -> PageFile:
    """A file of the page with its type and its cache rule."""
    kind = TYPES.get(file.suffix) or mimetypes.types_map.get(file.suffix, "application/octet-stream")
    cache = FOR_EVER if file.relative_to(folder).parts[0] == "assets" else ASK_EACH_TIME
    return ready(file.read_bytes(), kind, cache)


def ready(body: bytes, kind: str, cache: str) -> PageFile:
    """A file with its headers, among them a name for what is in it."""
    etag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    headers = {"content-type": kind, "content-length": str(len(body)), "cache-control": cache, "etag": etag}
    return PageFile(body, tuple((k.encode(), v.encode()) for k, v in headers.items()), etag.encode())


def page_first(app: ASGIApp, page: Mapping[str, PageFile], api: Collection[str]) -> ASGIApp:
    """Answer for the page's files and places, and leave the rest to `app`.

    A place is any address without a dot that a browser opens as a document, or that no route of the API begins
    like (`api`: first steps of the routes): all of them are the one page, which reads the address itself.
    """

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        file = found(scope) if is_read(scope) else None
        if file is None:
            await app(scope, receive, send)
        else:
            await send_file(file, scope, send)

    def found(scope: Scope) -> PageFile | None:
        path = scope["path"]
        if path in page:
            return page[path]
        first, last = path.split("/")[1], path.rsplit("/", 1)[-1]
        opened = any(b"text/html" in value for name, value in scope["headers"] if name == b"accept")
        return page.get("/") if "." not in last and (opened or first not in api) else None

    return answer


def is_read(scope: Scope) -> bool:
    """Whether this is a request that only looks."""
    return scope.get("method") in ("GET", "HEAD")


async def send_file(file: PageFile, scope: Scope, send: Send) -> None:
    """The file, or nothing when the browser has this very one, or asked for its head alone."""
    same = any(name == b"if-none-match" and file.etag in value for name, value in scope["headers"])
    status, body = (304, b"") if same else (200, b"" if scope.get("method") == "HEAD" else file.body)
    headers = [h for h in file.headers if not same or h[0] != b"content-length"]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body, "more_body": False})
