"""Security headers of every response: content from this server only, and no browser feature that is not used."""

from http import HTTPStatus

import msgspec
from litestar.types import ASGIApp, Message, Receive, Scope, Send

from benchbell.web.messages import Refusal, RefusalDetail

POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self' 'wasm-unsafe-eval'",  # the label reader is WebAssembly
        "img-src 'self' blob: data:",
        "media-src 'self' blob:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
"""Content Security Policy Level 3 (W3C)."""

SENSES = "camera=(self), screen-wake-lock=(self), microphone=(), geolocation=(), payment=(), usb=(), midi=()"

HEADERS: dict[bytes, bytes] = {
    b"content-security-policy": POLICY.encode(),
    b"x-content-type-options": b"nosniff",
    b"referrer-policy": b"no-referrer",
    b"permissions-policy": SENSES.encode(),
    b"cross-origin-opener-policy": b"same-origin",
    b"cross-origin-resource-policy": b"same-origin",
}

HTTPS_ONLY = b"max-age=31536000"
"""HSTS (RFC 6797). Without subdomains: other names in `.local` belong to other machines."""

HTTPS_OR_WELCOME = b"max-age=0"
"""Where the welcome page is served over http. HSTS holds for every port of a name (RFC 6797, section 8.3), so a phone
that opened the page once could never open the welcome page by that name. This makes it forget an earlier rule."""


def with_headers(app: ASGIApp, hsts: bytes) -> ASGIApp:
    """Add the security headers to every response, and `no-store` where it has no cache rule.

    hsts: HTTPS_ONLY or HTTPS_OR_WELCOME, which is sent over https alone.
    """

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        rule = hsts if scope.get("scheme") == "https" else None

        async def say(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = complete(list(message["headers"]), rule)
            await send(message)

        await app(scope, receive, say)

    return answer


def complete(said: list[tuple[bytes, bytes]], hsts: bytes | None = None) -> list[tuple[bytes, bytes]]:
    """A response's headers, with ours added where it has none of that name."""
    names = {name.lower() for name, _ in said}
    ours = {**HEADERS, b"cache-control": b"no-store"}
    if hsts is not None:
        ours[b"strict-transport-security"] = hsts
    return said + [(name, value) for name, value in ours.items() if name not in names]


def plain_response(status: int, detail: RefusalDetail) -> bytes:
    """A whole HTTP/1.1 response with this refusal, for a request that never reaches the application."""
    body = msgspec.json.encode(Refusal(detail))
    said = [
        (b"content-type", b"application/json"),
        (b"content-length", b"%d" % len(body)),
        (b"connection", b"close"),
    ]
    lines = [f"HTTP/1.1 {status} {HTTPStatus(status).phrase}".encode()]
    lines += [name + b": " + value for name, value in complete(said)]
    return b"\r\n".join([*lines, b"", body])
