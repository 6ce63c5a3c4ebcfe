"""The sync protocol: how phones and server come to hold the same happenings.

One request carries both directions, and repeating it does no harm:

    POST /sync {page, log_epoch, after, happenings, healing, confirmed}
    → {taken_to, happenings, position, more, server_time, log_epoch, base, alarms_ran, latest_ms, early, damaged,
       damaged_photos}

- page: the version of these messages that the page uses. Below OLDEST_PAGE the answer is "page-too-old": reload the
  page. Above WIRE it is "server-too-old": update the server. In both cases the phone keeps its unsent happenings.
- happenings: those the server has not confirmed yet, in order of `n`, at most 500 and 2 MB. They are stored byte for
  byte, unknown kinds too; only the envelope is read. A size or reading beyond
  recipe/measure.py's MOST_VALUE is refused. Before the answer either the whole batch is on disk or nothing.
    - n known with the same id: ignored. n next in order: stored. n beyond that: "gap", send again from `taken_to` + 1.
    - n or id known for another happening: "two-phones": this phone was restored, copied, or paired again. It then
      repairs itself: it fetches with empty batches until `more` is false, drops every unsent happening whose id came,
      numbers the rest from `taken_to` + 1 and sends them. Nothing is lost or stored twice.
- taken_to: the highest `n` of this batch that is on disk; for an empty batch the device's highest `n` on disk. A phone
  forgets no more than it sent, because of two phones with one name each has its own numbers beyond that. When
  `taken_to` is above every number the phone ever used, or below a confirmed one, it repairs itself as above.
- after: the last `position` the phone has stored. The answer holds what follows it, at most 1,000 happenings, without
  those of this request. So a restored phone, whose `after` is older, gets its own happenings back. `more`: ask again.
- log_epoch: identifies one unbroken sequence of positions; "" at first. When it is not the server's (a backup was
  restored), `after` is invalid: the answer begins at 0 and holds the new one, and the phone repairs itself as above.
- confirmed: the highest `n` of this device that the server confirmed, as the phone remembers. When that is above the
  highest here, or `after` is beyond the newest position, somebody has put back an earlier state of the server's disk.
  Then a new epoch begins, so that every phone reads the log from the start: positions that were given out before may
  stand for other happenings now. Once for each start of the server.
- latest_ms: the latest stamp that joins the log, ms: a day ahead of the server. A happening stamped later counts in
  `taken_to`, but waits outside the log until its time comes, or a person has it recorded again (POST /records/redate).
  early: ids of those of this device that wait, at most 500. A phone takes over no stamp later than `latest_ms`.
- damaged: at most 50 entries, each by id and build, whose bytes rotted on the server's disk. They are left out of every
  answer, and `position` goes on. A phone that has one sends it with its next request, as `healing`. It then takes its
  place at the end of the log. damaged_photos: photos that a phone that has them sends again.
- server_time: ms since 1970 UTC, read last; the phone takes it for the moment at which the answer came. base: which
  setting of the server's clock that time is of. A phone puts it beside the time of what it records (`when`), and goes
  by an answer's time only once it has folded all up to `position` and `more` is false: what came may say that the
  server's clock was set (bench/server_clock.py).
- alarms_ran: when the server last saw to its alarms, ms since 1970 UTC; when that is long ago, the page says that only
  this phone rings.

Other phones are nudged through GET /live. A nudge carries no data but the newest position. The
stream also tells `alarms_ran` again and again.
"""

from typing import Any, NoReturn

import structlog
from litestar import Request, Response, post
from litestar.datastructures import State
from litestar.params import RawBody

from benchbell.findings import are, counted
from benchbell.store.errors import TooLarge
from benchbell.store.record_types import Device
from benchbell.store.records import Records
from benchbell.web.body import decoded, json_body
from benchbell.web.doorkeeper import REVOKED
from benchbell.web.errors import REFUSALS, NotPaired, PageTooOld, Revoked, ServerTooOld
from benchbell.web.guard import device_of
from benchbell.web.messages import MOST_HAPPENINGS, OLDEST_PAGE, WIRE, EntryName, SyncAnswer, SyncRequest
from benchbell.web.pairing import token_cookie
from benchbell.web.runtime import runtime_of

MOST_BYTES = 2_000_000
MOST_DAMAGED = 50

QUARANTINE_FULL = "This device was revoked, and there is no room left to keep its work for review."

log = structlog.get_logger()


@post(
    "/sync",
    status_code=200,
    request_max_body_size=MOST_BYTES,
    responses=REFUSALS,
    operation_class=json_body(SyncRequest),
    opt={"for_revoked": True},
    summary="Store the phone's happenings, and answer with those it lacks",
)
async def sync(body: RawBody, request: Request[Any, Any, State]) -> Response[SyncAnswer]:
    """One round trip of the protocol above.

    Raises NotPaired, Revoked, Refused, TooMany, Unreadable, PageTooOld, ServerTooOld, TooLarge, Gap,
    TwoPhonesOneName and StoreError.
    """
    device = device_of(request)
    if not device:
        raise NotPaired("The request has no header Device.", "Reload the page.")
    shop = runtime_of(request.app.state)  # not `Given`: the framework's injection costs a third of a round trip
    known: Device | None = request.state.get("known_device")
    if known is not None and known.revoked_ms is not None:
        shop.doorkeeper.limit_revoked(known)
        await quarantine_batch(shop.records, known, body, shop.settings.clock())
    sent = checked(decoded(body, SyncRequest))
    if sent.healing:
        await shop.records.restore_entries(sent.healing)
    clock = shop.server_clock.reading  # before the log is read: the answer must not go by a setting that it lacks
    latest_ms = shop.latest_stamp()
    done = await shop.records.exchange(device, sent.happenings, sent.after, sent.log_epoch, latest_ms, sent.confirmed)
    lacked = done.lacked
    shop.listeners.announce(lacked.newest)
    damaged = await shop.records.damaged_entries()
    answer = SyncAnswer(
        taken_to=done.taken_to,
        happenings=lacked.listed,
        position=lacked.position,
        server_time=shop.server_clock.at(clock),
        more=lacked.position < lacked.newest,
        log_epoch=done.log_epoch,
        base=clock.base,
        alarms_ran=shop.heartbeat.last_ms(),
        latest_ms=latest_ms,
        early=done.early,
        damaged=tuple(EntryName(one.id, one.build) for one in damaged[:MOST_DAMAGED]),
        damaged_photos=shop.scrubber.found.photos_to_send,
    )
    renewed = request.state.get("renew")
    return Response(answer, cookies=[token_cookie(renewed)] if renewed else [])


async def quarantine_batch(records: Records, device: Device, body: bytes, now_ms: int) -> NoReturn:
    """Store a revoked device's batch for review. Always raises Revoked; also Unreadable, TooLarge, StoreError."""
    many = len(of_allowed_size(decoded(body, SyncRequest)).happenings)
    kept = not many or await records.keep_in_quarantine(device.id, body, now_ms)
    if many and kept:
        log.warning("batch of a revoked device quarantined", device=device.id, name=device.name, happenings=many)
    its = f"; its {counted(many, 'happening')} {are(many)} kept for review" if many else ""
    what = f"{device.name} was revoked{its}." if kept else QUARANTINE_FULL
    raise Revoked(what, REVOKED)


def checked(sent: SyncRequest) -> SyncRequest:
    """The request, if its version and size are accepted. Raises PageTooOld, ServerTooOld, TooLarge."""
    if sent.page < OLDEST_PAGE:
        raise PageTooOld(
            f"This page uses version {sent.page}; the server supports {OLDEST_PAGE} to {WIRE}.",
            "Reload the page; unsent work stays on this phone.",
        )
    if sent.page > WIRE:
        raise ServerTooOld(
            f"This page uses version {sent.page}; the server knows only {WIRE}.",
            "Update Benchbell on the server; unsent work stays on this phone.",
        )
    return of_allowed_size(sent)


def of_allowed_size(sent: SyncRequest) -> SyncRequest:
    """The request, if it does not hold too many happenings. Raises TooLarge."""
    if len(sent.happenings) > MOST_HAPPENINGS:
        raise TooLarge(
            f"The batch holds {len(sent.happenings)} happenings; at most {MOST_HAPPENINGS} are accepted at once.",
            "Send it in smaller parts.",
        )
    return sent
