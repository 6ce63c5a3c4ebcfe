"""Push subscriptions, and which of the server's ways to ring reach a device.

The page asks for the server's key, subscribes with it at the browser's push service, and sends the subscription here.
A push carries a ring (alerts.notice.Notice). The page's worker shows it under its `tag`, so that a newer ring of a
clock replaces an older one.
"""

import asyncio

import msgspec
from cryptography.hazmat.primitives.asymmetric import ec
from litestar import delete, get, post, put
from litestar.di import NamedDependency as Given
from litestar.params import RawBody

from benchbell.alerts.notice import Notice
from benchbell.alerts.push_client import RESUBSCRIBE, check_endpoint
from benchbell.alerts.push_key import keep_key
from benchbell.alerts.webpush import CURVE, b64url, from_b64url, point_of
from benchbell.findings import Refused
from benchbell.store.record_types import Subscription
from benchbell.store.records import Records
from benchbell.web.alert_messages import AlertChannels, CalendarChannel, NewSubscription, PushChannel, PushKey
from benchbell.web.body import decoded, json_body
from benchbell.web.errors import REFUSALS, NotPaired
from benchbell.web.runtime import ShopRuntime

TEST_NOTICE = Notice(
    title="Benchbell reaches this device",
    about="",
    text="This is a test; nothing is due.",
    tag="test",
    build="",
    operation="",
    kind="",
    stage="",
    ring="",
    at=0,
    due=0,
    sent=0,
    ringing=None,
    url="/",
)


def required(device: str) -> str:
    """The asking device's id. Raises NotPaired when the request names none, as one from an address bar does."""
    if not device:
        raise NotPaired("The request names no device.", "Open the page itself.")
    return device


@get("/alerts", responses=REFUSALS, summary="The server's ways to ring this device")
async def alert_channels(device: Given[str], shop: Given[ShopRuntime]) -> AlertChannels:
    """For the Shop screen. Raises StoreError."""
    push = await subscription_of(shop.records, device)
    feed = await shop.records.feed_of(device)
    return AlertChannels(
        push=None if push is None else PushChannel(push.since_ms, push.good_ms, push.trouble),
        calendar=None if feed is None else CalendarChannel(feed.since_ms, feed.fetched_ms),
        bell=shop.alarm_loop.bell.is_there,
        quiet=shop.clock_tracker.builds.quiet_error,
    )


async def subscription_of(records: Records, device: str) -> Subscription | None:
    """The device's push subscription; None when it has none, or was revoked. Raises StoreError."""
    return next((one for one in await records.subscriptions() if one.device == device), None)


@get("/alerts/key", responses=REFUSALS, summary="The key to subscribe with")
async def push_key(shop: Given[ShopRuntime]) -> PushKey:
    """The server's public key, the same for every device. Raises StoreError while the server cannot keep it."""
    await asyncio.to_thread(keep_key, shop.settings, shop.push_queue.key)
    return PushKey(b64url(point_of(shop.push_queue.key)))


@put(
    "/alerts/subscription",
    status_code=204,
    request_max_body_size=4000,
    responses=REFUSALS,
    operation_class=json_body(NewSubscription),
    summary="Subscribe this device to pushes; replaces its last subscription",
)
async def subscribe(body: RawBody, device: Given[str], shop: Given[ShopRuntime]) -> None:
    """Start pushing at once. Raises Refused for an address that is not public and for invalid keys, StoreError."""
    wanted = decoded(body, NewSubscription)
    check_endpoint(wanted.endpoint, shop.settings.loopback_push)
    p256dh, auth = keys_in(wanted)
    new = Subscription(required(device), wanted.endpoint, p256dh, auth, shop.settings.clock())
    await shop.records.keep_subscription(new)
    shop.push_queue.pauses.pop(device, None)
    shop.alarm_loop.wake.set()


def keys_in(wanted: NewSubscription) -> tuple[bytes, bytes]:
    """The browser's public key (65 bytes) and secret (16 bytes). Raises Refused for anything else."""
    try:
        p256dh, auth = from_b64url(wanted.keys.p256dh), from_b64url(wanted.keys.auth)
        ec.EllipticCurvePublicKey.from_encoded_point(CURVE, p256dh)
    except ValueError as error:
        raise Refused("The subscription's p256dh is not a point on the curve P-256.", RESUBSCRIBE) from error
    if (len(p256dh), len(auth)) != (65, 16):
        raise Refused(f"The subscription's keys have {len(p256dh)} and {len(auth)} bytes, not 65 and 16.", RESUBSCRIBE)
    return p256dh, auth


@delete("/alerts/subscription", status_code=204, responses=REFUSALS, summary="Unsubscribe this device from pushes")
async def unsubscribe(device: Given[str], shop: Given[ShopRuntime]) -> None:
    """Does nothing where the device had no subscription. Raises StoreError."""
    await shop.records.drop_subscription(device)


@post("/alerts/test", status_code=204, responses=REFUSALS, summary="Push a test message to this device now")
async def test_push(device: Given[str], shop: Given[ShopRuntime]) -> None:
    """Raises Refused with the reason when the push service does not accept the message, StoreError."""
    records = shop.records
    to = await subscription_of(records, device)
    if to is None:
        raise Refused("This device has no push subscription.", "Switch notifications on in the page first.")
    sent = await shop.push_queue.push(to, "test", 60, msgspec.json.encode(TEST_NOTICE))
    if sent.outcome == "accepted":
        await records.note_delivered(device, [], shop.settings.clock())
    elif sent.outcome == "expired":
        await records.drop_subscription(device, to.endpoint)
        raise Refused("The browser's subscription has ended.", RESUBSCRIBE)
    else:
        await records.note_not_delivered(device, sent.why)
        raise Refused(sent.why, "Until it works, rely on the open page and the calendar.")


ALERT_ROUTES = (alert_channels, push_key, subscribe, unsubscribe, test_push)
