"""How phones and the server come to hold the same happenings.

One request both ways, repeatable without harm:

    POST /sync {page, log_epoch, after, happenings}
    → {taken_to, happenings, position, more, server_time, log_epoch}

- page: the version of these messages that the page speaks. Below OLDEST_PAGE: "page-too-old", reload the page.
  Above WIRE: "server-too-old", update the server. Neither costs the phone anything: what waits, waits.
- happenings: what the phone has not yet seen taken, in order of `n`, at most 500 and 2 MB. They are stored to
  the letter, unknown kinds too; only the envelope is read. The whole batch is on disk before the answer, or
  nothing of it is.
    - n known, same id: nothing to do. n next: taken. n beyond that: "gap", send again from `taken_to` + 1.
    - n or id known for something else: "two-phones": this phone was restored, copied, or paired anew. It then
      fetches with an empty batch until `more` is false, drops from what waits every id that came, numbers the
      rest from `taken_to` + 1 and sends it. Nothing is lost and nothing doubled.
- taken_to: up to where this batch is on disk as it was sent; for an empty batch the highest `n` there is. A phone
  lets go of no more than it sent: of two phones with one name each has numbers of its own beyond that. A
  `taken_to` above any number the phone ever gave, or below one it thought taken, makes it mend itself as above.
- after: the last `position` the phone has stored. It gets what came after it, 1,000 at most, but for what this
  very request brought. So a restored phone, with an older `after`, gets its own back too. `more`: ask again.
- log_epoch: names one unbroken run of positions; "" at first. When it is not the server's (a backup was restored),
  `after` means nothing: the answer begins at 0 and has the new epoch, and the phone mends itself as above.
- server_time: ms since 1970 UTC, read last; with half the round trip it gives the phone its offset.

Other phones are nudged through GET /live; a nudge carries no data, only the newest position.
"""

from typing import Any, NoReturn

import structlog
from litestar import Request, Response, post
from litestar.datastructures import State
from litestar.params import RawBody

from benchbell.store.errors import TooLarge
from benchbell.store.record_types import Device
from benchbell.store.records import Records
from benchbell.web.body import read, taking
from benchbell.web.doorkeeper import REVOKED
from benchbell.web.errors import PROBLEMS, NotPaired, PageTooOld, Revoked, ServerTooOld
from benchbell.web.guard import device_of
from benchbell.web.messages import MOST_HAPPENINGS, OLDEST_PAGE, WIRE, SyncAnswer, SyncRequest
from benchbell.web.pairing import token_cookie
from benchbell.web.runtime import runtime_of

MOST_BYTES = 2_000_000

NO_ROOM = "This device was revoked, and there is no more room to keep its work for review."

log = structlog.get_logger()


@post(
    "/sync",
    status_code=200,
    request_max_body_size=MOST_BYTES,
    responses=PROBLEMS,
    operation_class=taking(SyncRequest),
    opt={"kept_aside": True},
    summary="Take what the phone has, give what it lacks",
)
async def sync(body: RawBody, request: Request[Any, Any, State]) -> Response[SyncAnswer]:
    """One round trip; see the top of this file."""
    device = device_of(request)
    if not device:
        raise NotPaired("The request has no header Device.", "Reload the page.")
    shop = runtime_of(request.app.state)  # not `Given`: the framework's injection costs a third of a round trip
    asks: Device | None = request.state.get("asks")
    if asks is not None and asks.revoked_ms is not None:
        await hand_in(shop.records, asks, body, shop.settings.clock())
    sent = understood(read(body, SyncRequest))
    done = await shop.records.exchange(device, sent.happenings, sent.after, sent.log_epoch)
    lacked = done.lacked
    shop.listeners.announce(lacked.newest)
    more = lacked.position < lacked.newest
    answer = SyncAnswer(done.taken_to, lacked.listed, lacked.position, shop.settings.clock(), more, done.log_epoch)
    renewed = request.state.get("renew")
    return Response(answer, cookies=[token_cookie(renewed)] if renewed else [])


async def hand_in(records: Records, device: Device, body: bytes, now_ms: int) -> NoReturn:
    """A revoked device hands in its work: kept aside for a person to judge. Raises Revoked always."""
    many = len(read(body, SyncRequest).happenings)
    kept = not many or await records.keep_in_quarantine(device.id, body, now_ms)
    if many and kept:
        log.warning("kept aside from a revoked device", device=device.id, name=device.name, happenings=many)
    told = f"{device.name} was revoked; its {many} happenings are kept for review." if kept else NO_ROOM
    raise Revoked(told, REVOKED)


def understood(sent: SyncRequest) -> SyncRequest:
    """The request, if both sides speak alike. Raises PageTooOld, ServerTooOld, TooLarge."""
    if sent.page < OLDEST_PAGE:
        raise PageTooOld(
            f"This page speaks version {sent.page}; the server understands {OLDEST_PAGE} to {WIRE}.",
            "Reload the page; what waits on this phone stays.",
        )
    if sent.page > WIRE:
        raise ServerTooOld(
            f"This page speaks version {sent.page}; the server knows only {WIRE}.",
            "Update Benchbell on the server; what waits on this phone stays.",
        )
    if len(sent.happenings) > MOST_HAPPENINGS:
        raise TooLarge(
            f"The batch holds {len(sent.happenings)} happenings, {MOST_HAPPENINGS} at most are taken at once.",
            "Send it in smaller parts.",
        )
    return sent
