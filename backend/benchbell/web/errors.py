"""Refusals: one JSON shape, `{"error": {what, next_step, kind}}`, and the HTTP status of each kind."""

from typing import Any

import msgspec
import structlog
from litestar import Request, Response
from litestar.exceptions import HTTPException
from litestar.openapi.datastructures import ResponseSpec
from litestar.types import ExceptionHandlersMap

from benchbell.findings import Finding, Refused
from benchbell.store.errors import Damaged, DiskFull, Gap, Misnumbered, StoreError, TooLarge, TwoPhonesOneName
from benchbell.web.messages import Refusal, RefusalDetail, RefusalKind

log = structlog.get_logger()


class Unreadable(Refused):
    """The request's body cannot be read."""


class PageTooOld(Refused):
    """The page uses an older version of the messages than the server supports."""


class ServerTooOld(Refused):
    """The page uses a newer version of the messages than the server knows."""


class NotPaired(Refused):
    """The request has no token, or an unknown one."""


class Revoked(Refused):
    """The device was revoked."""


class WrongCode(Refused):
    """A pairing code that is wrong, used or expired."""


class ForeignOrigin(Refused):
    """The request was made by another site, or to another host name."""


class NotHere(Refused):
    """There is nothing of that name."""


class TooMany(Refused):
    """Too many requests in a short time. seconds: how long to wait."""

    def __init__(self, what: str, next_step: str, seconds: int) -> None:
        super().__init__(what, next_step)
        self.seconds = seconds


class HasErrors(Refused):
    """The recipe has errors, so no build can start from it."""

    def __init__(self, what: str, next_step: str, findings: tuple[Finding, ...]) -> None:
        super().__init__(what, next_step)
        self.findings = findings


STATUS: tuple[tuple[type[Refused], int, RefusalKind], ...] = (
    (Gap, 409, "gap"),
    (TwoPhonesOneName, 409, "two-phones"),
    (PageTooOld, 409, "page-too-old"),
    (ServerTooOld, 409, "server-too-old"),
    (Unreadable, 400, "unreadable"),
    (HasErrors, 422, "findings"),
    (TooLarge, 413, "too-large"),
    (NotPaired, 401, "not-paired"),
    (Revoked, 403, "revoked"),
    (WrongCode, 403, "wrong-code"),
    (ForeignOrigin, 403, "foreign-origin"),
    (NotHere, 404, "not-found"),
    (TooMany, 429, "too-many"),
    (DiskFull, 507, "disk-full"),
    (Damaged, 503, "damaged"),
    (StoreError, 503, "store"),
    (Refused, 400, "refused"),
)
"""By exception, its HTTP status and kind. The first row that fits counts, so subclasses come first."""

FROM_FRAMEWORK: dict[int, tuple[RefusalKind, str, str]] = {
    404: ("not-found", "There is nothing at this address.", "Go back to the first screen."),
    405: ("not-allowed", "This address does not accept that kind of request.", "Update the page."),
    408: ("too-slow", "The request arrived too slowly.", "Try again where the network is better."),
    413: ("too-large", "The request is larger than this address accepts.", "Send it in smaller parts."),
}
"""By HTTP status, the words for what the framework refuses by itself."""

REFUSALS: dict[int, ResponseSpec] = {
    status: ResponseSpec(Refusal, generate_examples=False, description=description)
    for status, description in {
        400: "Cannot be read, or cannot be done",
        401: "Not paired",
        403: "Revoked, or requested by another site",
        404: "Not found",
        405: "Kind of request not accepted",
        408: "Too slow",
        409: "Does not follow what the server has",
        413: "Too large",
        422: "The recipe has errors",
        429: "Too many requests",
        503: "The records cannot be used now",
        507: "The disk is full",
    }.items()
}
"""The refusals of every route, for the OpenAPI document."""


def detail_of(error: Refused) -> tuple[int, RefusalDetail]:
    """The HTTP status and the body's content for a refusal."""
    status, kind = next((status, kind) for fits, status, kind in STATUS if isinstance(error, fits))
    taken_to = error.taken_to if isinstance(error, Misnumbered) else None
    findings = error.findings if isinstance(error, HasErrors) else ()
    return status, RefusalDetail(error.what, error.next_step, kind, taken_to, findings)


def on_refused(_: Request[Any, Any, Any], error: Refused) -> Response[Refusal]:
    """The response to a refusal of ours."""
    status, said = detail_of(error)
    headers = {"Retry-After": str(error.seconds)} if isinstance(error, TooMany) else {}
    return Response(Refusal(said), status_code=status, headers=headers)


def on_http(_: Request[Any, Any, Any], error: HTTPException) -> Response[Refusal]:
    """The response to a refusal of the framework: unknown route, body too large, invalid parameter."""
    status = error.status_code
    if status >= 500:
        return on_fault(_, error)
    kind, what, next_step = FROM_FRAMEWORK.get(
        status, ("unreadable", f"{error.detail or 'The request cannot be read'}.", "Update the page.")
    )
    return Response(Refusal(RefusalDetail(what, next_step, kind)), status_code=status, headers=error.headers)


def on_unreadable(_: Request[Any, Any, Any], error: msgspec.ValidationError) -> Response[Refusal]:
    """The response to a wrong field; msgspec's message names its path."""
    return on_refused(_, Unreadable(f"The request cannot be read: {error}.", "Update the page."))


def on_fault(request: Request[Any, Any, Any], error: Exception) -> Response[Refusal]:
    """The response to an unexpected exception, which is logged in full and not shown to the client."""
    log.error("request failed", path=request.url.path, exc_info=error)
    said = RefusalDetail(
        "The server has an internal error.", "Try again; if it stays, see the server's log.", "server-fault"
    )
    return Response(Refusal(said), status_code=500)


HANDLERS: ExceptionHandlersMap = {
    Refused: on_refused,
    HTTPException: on_http,
    msgspec.ValidationError: on_unreadable,
    Exception: on_fault,
}
