"""The welcome page: served over http, so that a phone can fetch the authority's certificate and then use https.

It holds no script and no secret. The certificate is public, and the server's terminal shows its fingerprint too, so
that a person can compare the two.
"""

from html import escape
from pathlib import Path
from string import Template

from litestar.enums import ScopeType
from litestar.types import ASGIApp, Receive, Scope, Send

from benchbell.settings import inside_package
from benchbell.web.files import ASK_EACH_TIME, PageFile, page_first, ready
from benchbell.web.headers import HTTPS_OR_WELCOME, with_headers

AUTHORITY = "/benchbell-authority.crt"


def welcome_files(addresses: tuple[str, ...], authority: Path, fingerprint: str) -> dict[str, PageFile]:
    """By path: the page, its style and the certificate. addresses: of the https server, the best first.

    Raises OSError.
    """
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
    """An application that serves only these files; any other path without a dot gives the page."""
    return with_headers(page_first(not_found, files, ()), HTTPS_OR_WELCOME)


async def not_found(scope: Scope, receive: Receive, send: Send) -> None:
    """Answer 404 to everything but reading the page."""
    if scope["type"] == ScopeType.HTTP:
        headers = [(b"content-type", b"text/plain; charset=utf-8")]
        await send({"type": "http.response.start", "status": 404, "headers": headers})
        await send({"type": "http.response.body", "body": b"Only the welcome page is here: /\n", "more_body": False})
