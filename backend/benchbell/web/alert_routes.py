"""Which of the server's ways to ring reach a device, and web push.

The page asks for the server's key, subscribes with it, and hands the subscription over. A push carries a ring
(alerts.push.Notice); the worker shows it under its `tag`, so that a newer ring of a clock takes an older one's place.
"""

import msgspec
from cryptography.hazmat.primitives.asymmetric import ec
from litestar import delete, get, post, put
from litestar.di import NamedDependency as Given
from litestar.params import RawBody

from benchbell.alerts.notice import Notice
from benchbell.alerts.push_client import ANOTHER, check_endpoint
from benchbell.alerts.webpush import CURVE, b64url, from_b64url, point_of
from benchbell.findings import Refused
from benchbell.store.record_types import Subscription
from benchbell.store.records import Records
from benchbell.web.alert_messages import Armed, FeedArmed, NewSubscription, PushArmed, PushKey
from benchbell.web.body import read, taking
from benchbell.web.errors import PROBLEMS, NotPaired
from benchbell.web.runtime import ShopRuntime

TEST = Notice(
    title="Benchbell reaches this device",
    about="",
    text="Only a test: nothing is due.",
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


def known(device: str) -> str:
    """The device that asks. Raises NotPaired where it gives no name, as a browser's address bar does."""
    if not device:
        raise NotPaired("The request names no device.", "Open the page itself.")
    return device


@get("/alerts", responses=PROBLEMS, summary="Which of the server's ways to ring reach this device")
async def armed(device: Given[str], shop: Given[ShopRuntime]) -> Armed:
    """For the Shop screen."""
    push = await subscription_of(shop.records, device)
    feed = await shop.records.feed_of(device)
    return Armed(
        push=None if push is None else PushArmed(push.since_ms, push.good_ms, push.trouble),
        calendar=None if feed is None else FeedArmed(feed.since_ms, feed.fetched_ms),
        bell=shop.alarm_loop.bell.is_there,
        quiet=shop.clock_tracker.builds.trouble,
    )


async def subscription_of(records: Records, device: str) -> Subscription | None:
    """Where the device can be pushed to."""
    return next((one for one in await records.subscriptions() if one.device == device), None)


@get("/alerts/key", responses=PROBLEMS, summary="The key to subscribe with")
async def push_key(shop: Given[ShopRuntime]) -> PushKey:
    """The same for every device."""
    return PushKey(b64url(point_of(shop.push_queue.key)))


@put(
    "/alerts/subscription",
    status_code=204,
    request_max_body_size=4000,
    responses=PROBLEMS,
    operation_class=taking(NewSubscription),
    summary="Push to this device from now on; replaces what it had",
)
async def subscribe(body: RawBody, device: Given[str], shop: Given[ShopRuntime]) -> None:
    """Raises Refused for an address that is not out on the internet, and for keys that are none."""
    wanted = read(body, NewSubscription)
    check_endpoint(wanted.endpoint, shop.settings.loopback_push)
    p256dh, auth = keys_in(wanted)
    new = Subscription(known(device), wanted.endpoint, p256dh, auth, shop.settings.clock())
    await shop.records.keep_subscription(new)
    shop.push_queue.pauses.pop(device, None)
    shop.alarm_loop.wake.set()


def keys_in(wanted: NewSubscription) -> tuple[bytes, bytes]:
    """The browser's public key and secret. Raises Refused."""
    try:
        p256dh, auth = from_b64url(wanted.keys.p256dh), from_b64url(wanted.keys.auth)
        ec.EllipticCurvePublicKey.from_encoded_point(CURVE, p256dh)
    except ValueError as error:
        raise Refused("The subscription's p256dh is no point of the curve P-256.", ANOTHER) from error
    if (len(p256dh), len(auth)) != (65, 16):
        raise Refused(f"The subscription's keys have {len(p256dh)} and {len(auth)} bytes, not 65 and 16.", ANOTHER)
    return p256dh, auth


@delete("/alerts/subscription", status_code=204, responses=PROBLEMS, summary="Push to this device no more")
async def unsubscribe(device: Given[str], shop: Given[ShopRuntime]) -> None:
    """Nothing to do where it had none."""
    await shop.records.drop_subscription(device)


@post("/alerts/test", status_code=204, responses=PROBLEMS, summary="Push a test message to this device now")
async def test_push(device: Given[str], shop: Given[ShopRuntime]) -> None:
    """Raises Refused with what went wrong."""
    records = shop.records
    to = await subscription_of(records, device)
    if to is None:
        raise Refused("This device has no push subscription.", "Switch notifications on in the page first.")
    sent = await shop.push_queue.push(to, "test", 60, msgspec.json.encode(TEST))
    if sent.outcome == "told":
        await records.note_delivered(device, [], shop.settings.clock())
    elif sent.outcome == "gone":
        await records.drop_subscription(device, to.endpoint)
        raise Refused("The browser's subscription has ended.", ANOTHER)
    else:
        await records.note_not_delivered(device, sent.trouble)
        raise Refused(sent.trouble, "Until then rely on the open page and the calendar.")


ALERT_ROUTES = (armed, push_key, subscribe, unsubscribe, test_push)
