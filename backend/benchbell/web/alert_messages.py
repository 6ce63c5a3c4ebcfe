"""The structs of requests and answers about alarms."""

from typing import Annotated

from msgspec import Meta, Struct

from benchbell.alerts.notice import Notice


class PushKeys(Struct, frozen=True):
    """A browser's public key and secret in URL-safe base64, as `PushSubscription.toJSON()` gives them."""

    p256dh: Annotated[str, Meta(max_length=100)]
    auth: Annotated[str, Meta(max_length=40)]


class NewSubscription(Struct, frozen=True):
    """A device's push subscription: `PushSubscription.toJSON()` (Push API, W3C). Other fields are ignored."""

    endpoint: Annotated[str, Meta(min_length=1, max_length=1000)]
    keys: PushKeys


class PushKey(Struct, frozen=True):
    """The server's public key, `applicationServerKey`, in URL-safe base64."""

    key: str


class PushChannel(Struct, frozen=True):
    """This device's push subscription.

    since_ms: when it subscribed. good_ms: when a push last succeeded, None for never. trouble: why the last one
    failed, "" when it did not.
    """

    since_ms: int
    good_ms: int | None
    trouble: str


class CalendarChannel(Struct, frozen=True):
    """This device's calendar feed. since_ms: when it was made. fetched_ms: when it was last fetched, None for never."""

    since_ms: int
    fetched_ms: int | None


class AlertChannels(Struct, frozen=True):
    """The server's ways to ring this device. bell: whether the server has one. quiet: the quiet hours' error, or ""."""

    push: PushChannel | None
    calendar: CalendarChannel | None
    bell: bool
    quiet: str


class FeedAddress(Struct, frozen=True):
    """The path of the device's private feed. It is shown once; asking again makes a new one and voids the last."""

    path: str


ALERT_MESSAGES: tuple[type, ...] = (Notice, NewSubscription, PushKey, AlertChannels, FeedAddress)
"""The structs from which the page's types are made."""
