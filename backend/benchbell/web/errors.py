"""The one shape of every refusal, `{"error": {what, next_step, kind}}`, and the status that goes with it."""

from typing import Any

import msgspec
import structlog
from litestar import Request, Response
from litestar.exceptions import HTTPException
from litestar.openapi.datastructures import ResponseSpec
from litestar.types import ExceptionHandlersMap

from benchbell.findings import Finding, Refused
from benchbell.store.errors import Damaged, DiskFull, Gap, Misnumbered, StoreError, TooLarge, TwoPhonesOneName
from benchbell.web.messages import Problem, Refusal, Trouble

log = structlog.get_logger()


class Unreadable(Refused):
    """The request's body is not of its form."""


class PageTooOld(Refused):
    """The page speaks an older version than the server understands."""


class ServerTooOld(Refused):
    """The page speaks a newer version than the server knows."""


class NotPaired(Refused):
    """No token, or one that nobody was given."""


class Revoked(Refused):
    """The token was good once."""


class WrongCode(Refused):
    """A pairing code that is wrong, spent or too late."""


class ForeignOrigin(Refused):
    """The request was made by another site, or under another name."""


class NotHere(Refused):
    """Nothing has that name."""


class TooMany(Refused):
    """More requests than one person makes. seconds: how long to wait."""

    def __init__(self, what: str, next_step: str, seconds: int) -> None:
        super().__init__(what, next_step)
        self.seconds = seconds


class HasErrors(Refused):
    """A recipe that is not to be built from."""

    def __init__(self, what: str, next_step: str, findings: tuple[Finding, ...]) -> None:
        super().__init__(what, next_step)
        self.findings = findings


STATUS: tuple[tuple[type[Refused], int, Trouble], ...] = (
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
"""The first row that fits counts."""

PLAIN: dict[int, tuple[Trouble, str, str]] = {
    404: ("not-found", "There is nothing at this address.", "Go back to the first screen."),
    405: ("not-allowed", "This address does not take that kind of request.", "Update the page."),
    408: ("too-slow", "The request did not come on.", "Try again nearer to the network."),
    413: ("too-large", "The request is larger than this address takes.", "Send it in smaller parts."),
}
"""What the framework refuses by itself."""

PROBLEMS: dict[int, ResponseSpec] = {
    status: ResponseSpec(Refusal, generate_examples=False, description=description)
    for status, description in {
        400: "Not of its form, or not to be done",
        401: "Not paired",
        403: "Revoked, or asked by another site",
        404: "Not here",
        405: "Not that kind of request",
        408: "Too slow",
        409: "Does not follow on what is here",
        413: "Too large",
        422: "The recipe has errors",
        429: "Too many requests",
        503: "The records cannot be used just now",
        507: "The disk is full",
    }.items()
}
"""For the OpenAPI document of every route."""


def problem(error: Refused) -> tuple[int, Problem]:
    """The status, and what to say."""
    status, kind = next((status, kind) for fits, status, kind in STATUS if isinstance(error, fits))
    taken_to = error.taken_to if isinstance(error, Misnumbered) else None
    findings = error.findings if isinstance(error, HasErrors) else ()
    return status, Problem(error.what, error.next_step, kind, taken_to, findings)


def on_refused(_: Request[Any, Any, Any], error: Refused) -> Response[Refusal]:
    """Something cannot be done as asked."""
    status, said = problem(error)
    headers = {"Retry-After": str(error.seconds)} if isinstance(error, TooMany) else {}
    return Response(Refusal(said), status_code=status, headers=headers)


def on_http(_: Request[Any, Any, Any], error: HTTPException) -> Response[Refusal]:
    """The framework refused: no such route, too large, a parameter not of its form."""
    status = error.status_code
    if status >= 500:
        return on_fault(_, error)
    kind, what, next_step = PLAIN.get(
        status, ("unreadable", f"{error.detail or 'Not understood'}.", "Update the page.")
    )
    return Response(Refusal(Problem(what, next_step, kind)), status_code=status, headers=error.headers)


def on_unreadable(_: Request[Any, Any, Any], error: msgspec.ValidationError) -> Response[Refusal]:
    """A body with a wrong field; the library's sentence has the path."""
    return on_refused(_, Unreadable(f"The request is not of its form: {error}.", "Update the page."))


def on_fault(request: Request[Any, Any, Any], error: Exception) -> Response[Refusal]:
    """A fault of ours: into the log with all we know, out without any of it."""
    log.error("fault", path=request.url.path, exc_info=error)
    said = Problem(
        "The server met a fault of its own.", "Try again; if it stays, see the server's log.", "server-fault"
    )
    return Response(Refusal(said), status_code=500)


HANDLERS: ExceptionHandlersMap = {
    Refused: on_refused,
    HTTPException: on_http,
    msgspec.ValidationError: on_unreadable,
    Exception: on_fault,
}
