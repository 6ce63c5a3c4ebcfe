"""What the page and the server say to each other about alarms."""

from typing import Annotated

from msgspec import Meta, Struct

from benchbell.alerts.notice import Notice


class PushKeys(Struct, frozen=True):
    """A browser's public key and secret, base64 for addresses, as `PushSubscription.toJSON()` gives them."""

    p256dh: Annotated[str, Meta(max_length=100)]
    auth: Annotated[str, Meta(max_length=40)]


class NewSubscription(Struct, frozen=True):
    """Where this device can be pushed to: `PushSubscription.toJSON()` (Push API, W3C). Other fields are left aside."""

    endpoint: Annotated[str, Meta(min_length=1, max_length=1000)]
    keys: PushKeys


class PushKey(Struct, frozen=True):
    """The server's public key: `applicationServerKey`, base64 for addresses."""

    key: str


class PushArmed(Struct, frozen=True):
    """This device's push. since_ms: subscribed then. good_ms: when a push was taken last. trouble: why one was not."""

    since_ms: int
    good_ms: int | None
    trouble: str


class FeedArmed(Struct, frozen=True):
    """This device's calendar feed. fetched_ms: a calendar last asked for it then, None for never."""

    since_ms: int
    fetched_ms: int | None


class Armed(Struct, frozen=True):
    """Which of the server's ways to ring reach this device. quiet: what is wrong with the quiet hours, or ""."""

    push: PushArmed | None
    calendar: FeedArmed | None
    bell: bool
    quiet: str


class FeedAddress(Struct, frozen=True):
    """The path of the device's private feed. It is told this once; ask again and the last one is void."""

    path: str


ALERT_MESSAGES: tuple[type, ...] = (Notice, NewSubscription, PushKey, Armed, FeedAddress)
"""For the page's types."""
