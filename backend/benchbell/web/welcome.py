"""The welcome page: the one thing served without https, so that a phone can be told to trust the rest.

It holds no script and no secret: the authority's certificate is public, and its fingerprint stands on the
server's terminal too, to compare.
"""

from html import escape
from pathlib import Path
from string import Template

from litestar.enums import ScopeType
from litestar.types import ASGIApp, Receive, Scope, Send

from benchbell.settings import inside_package
from benchbell.web.files import ASK_EACH_TIME, PageFile, page_first, ready
from benchbell.web.headers import with_headers

AUTHORITY = "/benchbell-authority.crt"


def welcome_files(addresses: tuple[str, ...], authority: Path, fingerprint: str) -> dict[str, PageFile]:
    """The page, its style and the certificate. addresses: of the https server, the best first."""
    folder = inside_package("web") / "welcome"
    links = "".join(f'<li><a href="{escape(one)}">{escape(one)}</a></li>' for one in addresses)
    words = Template((folder / "welcome.html").read_text(encoding="utf-8"))
    page = words.substitute(links=links, authority=AUTHORITY, fingerprint=fingerprint)
    return {
        "/": ready(page.encode(), "text/html; charset=utf-8", ASK_EACH_TIME),
        "/welcome.css": ready((folder / "welcome.css").read_bytes(), "text/css; charset=utf-8", ASK_EACH_TIME),
        AUTHORITY: ready(authority.read_bytes(), "application/x-x509-ca-cert", ASK_EACH_TIME),
    }


def welcome_app(files: dict[str, PageFile]) -> ASGIApp:
    """A server of these files alone; every other address without a dot gives the page."""
    return with_headers(page_first(nothing_else, files, ()))


async def nothing_else(scope: Scope, receive: Receive, send: Send) -> None:
    """Refuse whatever is not a look at the page."""
    if scope["type"] == ScopeType.HTTP:
        headers = [(b"content-type", b"text/plain; charset=utf-8")]
        await send({"type": "http.response.start", "status": 404, "headers": headers})
        await send({"type": "http.response.body", "body": b"Only the welcome page is here: /\n", "more_body": False})
