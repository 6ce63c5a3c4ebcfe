"""Security headers of every response: content from this server only, and no browser feature that is not used."""

from litestar.types import ASGIApp, Message, Receive, Scope, Send

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


def with_headers(app: ASGIApp) -> ASGIApp:
    """Add the security headers to every response, and `no-store` where it has no cache rule."""

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        async def say(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = complete(list(message["headers"]), scope)
            await send(message)

        await app(scope, receive, say)

    return answer


def complete(said: list[tuple[bytes, bytes]], scope: Scope) -> list[tuple[bytes, bytes]]:
    """A response's headers, with ours added where it has none of that name."""
    names = {name.lower() for name, _ in said}
    ours = {**HEADERS, b"cache-control": b"no-store"}
    if scope.get("scheme") == "https":
        ours[b"strict-transport-security"] = HTTPS_ONLY
    return said + [(name, value) for name, value in ours.items() if name not in names]
