"""Serves the page's files from memory. Only files that are there when the server starts are served."""

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
"""By file name ending. The operating system's own table differs between machines."""

ASK_EACH_TIME = "no-cache"
FOR_EVER = "public, max-age=31536000, immutable"
"""For files whose names contain a hash of their content."""


class PageFile(Struct, frozen=True):
    """One file of the page with its response headers."""

    body: bytes
    headers: tuple[tuple[bytes, bytes], ...]
    etag: bytes


def load_page(folder: Path) -> dict[str, PageFile]:
    """The built page's files by path; "/" is index.html. Raises Refused when the page was not built."""
    if not (folder / "index.html").is_file():
        raise Refused(
            f"The page is missing from {folder}.", "Install Benchbell again, or run python backend/build_page.py."
        )
    files = {f"/{file.relative_to(folder).as_posix()}": page_file(file, folder) for file in folder.rglob("*.*")}
    return {**files, "/": files["/index.html"]}


def page_file(file: Path, folder: Path) -> PageFile:
    """A file of the page with its media type and cache rule. Raises OSError."""
    kind = TYPES.get(file.suffix) or mimetypes.types_map.get(file.suffix, "application/octet-stream")
    cache = FOR_EVER if file.relative_to(folder).parts[0] == "assets" else ASK_EACH_TIME
    return ready(file.read_bytes(), kind, cache)


def ready(body: bytes, kind: str, cache: str) -> PageFile:
    """A file with its headers. kind: media type. cache: Cache-Control. The ETag is a hash of the body."""
    etag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    headers = {"content-type": kind, "content-length": str(len(body)), "cache-control": cache, "etag": etag}
    return PageFile(body, tuple((k.encode(), v.encode()) for k, v in headers.items()), etag.encode())


def page_first(app: ASGIApp, page: Mapping[str, PageFile], api: Collection[str]) -> ASGIApp:
    """Serve the page's files and screens, and pass all other requests on to `app`.

    A screen is any path without a dot that a browser opens as a document, or whose first segment is none of `api`, the
    routes' first segments. Every screen is index.html, which reads the path itself.
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
        if not path.startswith("/"):
            return None  # "*", which is allowed for OPTIONS alone (RFC 9112, section 3.2.4)
        first, last = path.split("/")[1], path.rsplit("/", 1)[-1]
        opened = any(b"text/html" in value for name, value in scope["headers"] if name == b"accept")
        return page.get("/") if "." not in last and (opened or first not in api) else None

    return answer


def is_read(scope: Scope) -> bool:
    """Whether the request only reads: GET or HEAD."""
    return scope.get("method") in ("GET", "HEAD")


async def send_file(file: PageFile, scope: Scope, send: Send) -> None:
    """Send the file: status 304 when the client's ETag matches, no body for HEAD."""
    same = any(name == b"if-none-match" and file.etag in value for name, value in scope["headers"])
    status, body = (304, b"") if same else (200, b"" if scope.get("method") == "HEAD" else file.body)
    headers = [h for h in file.headers if not same or h[0] != b"content-length"]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body, "more_body": False})
