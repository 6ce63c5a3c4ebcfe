"""Recognises devices by their tokens, and limits how often each may ask."""

from contextlib import suppress
from typing import Any

from litestar.connection import ASGIConnection

from benchbell.settings import Settings
from benchbell.store.devices import NOTE_SEEN_MS
from benchbell.store.errors import StoreError
from benchbell.store.record_types import Device
from benchbell.store.records import Records
from benchbell.web.client_address import address_group
from benchbell.web.connections import CountedConnection
from benchbell.web.errors import NotPaired, Revoked
from benchbell.web.limits import RateLimits

REVOKED = "Pair it again to go on. Unsent work stays on it, and is kept for review when it arrives."

COOKIE = "__Host-benchbell"
"""The prefix restricts the cookie to this host and to https (RFC 6265bis, section 4.1.3.2)."""

Connection = ASGIConnection[Any, Any, Any, Any]


class Doorkeeper:
    """Recognises devices by their tokens, with a request rate for each device and for each unknown address."""

    def __init__(self, records: Records, settings: Settings) -> None:
        self.records = records
        self.settings = settings
        self.device_limits = RateLimits(burst=120, each_second=20)
        self.stranger_limits = RateLimits(burst=30, each_second=1)
        self.revoked_limits = RateLimits(burst=10, each_second=0.2)

    async def admit(self, connection: Connection, for_revoked: bool) -> None:
        """Put the device into the connection's state. for_revoked: accept a revoked device too, for its unsent work.

        Raises NotPaired, Revoked, TooMany, StoreError.
        """
        now = self.settings.clock()
        token = token_in(connection)
        device = await self.records.device_with_token(token) if token else None
        if device is None:
            self.stranger_limits.ask(address_of(connection), now)
            raise NotPaired("This device is not paired.", "Pair it with a code from the server or a paired phone.")
        self.device_limits.ask(device.id, now)
        if device.revoked_ms is not None and not for_revoked:
            raise Revoked(f"{device.name} was revoked.", REVOKED)
        if device.revoked_ms is None:
            recognise(connection, device.id)
        connection.state["device"] = device.id
        connection.state["known_device"] = device
        if now - device.seen_ms >= NOTE_SEEN_MS:
            with suppress(StoreError):  # on a full disk a device can still read
                await self.records.note_seen(device.id, now)
            connection.state["renew"] = token if COOKIE in connection.cookies else ""

    def limit_revoked(self, device: Device) -> None:
        """Take one of a revoked device's few requests whose body is read. Raises TooMany."""
        self.revoked_limits.ask(device.id, self.settings.clock())


def token_in(connection: Connection) -> str:
    """The request's token: from the Authorization header, else from the cookie, "" for none."""
    scheme, _, token = connection.headers.get("authorization", "").partition(" ")
    return token.strip() if scheme.lower() == "bearer" else connection.cookies.get(COOKIE, "")


def address_of(connection: Connection) -> str:
    """Where the client is counted: see `address_group`."""
    return address_group(connection.client.host) if connection.client else ""


def recognise(connection: Connection, device: str) -> None:
    """Give the connection its place among those of paired devices, in a server that counts connections."""
    counted: CountedConnection | None = connection.state.get("counted")
    if counted is not None:
        counted.recognise(device)
