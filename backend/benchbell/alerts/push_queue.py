"""Pushes rings to the devices: each ring once to each device, again after a pause when the push service failed.

A ring is recorded as delivered once the push service accepted it. After a crash in between it is pushed again under
the same topic and tag, and the device shows it once.
"""

import asyncio
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial

import structlog
from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
from msgspec import Struct

from benchbell.alerts.delivered_rings import DeliveredRings
from benchbell.alerts.notice import message_of
from benchbell.alerts.push_client import PushResponse, Unreachable, retry_after_seconds, send
from benchbell.alerts.schedule import Alarm, lasts_until
from benchbell.alerts.undelivered import pause_ms, undelivered
from benchbell.alerts.webpush import (
    Outcome,
    authorization,
    encrypt,
    headers_of,
    key_from,
    outcome,
    topic_of,
    ttl_s,
)
from benchbell.findings import Refused
from benchbell.settings import Settings
from benchbell.store.errors import StoreError
from benchbell.store.record_types import RingKey, Subscription
from benchbell.store.records import Records

log = structlog.get_logger()

AT_ONCE = 4
"""Pushes under way at the same time."""

GIVE_CONTACT = "Start the server with --contact mailto:you@your.domain, which some push services insist on."


class Pause(Struct, frozen=True):
    """No push to a device until `until` (server time in ms). tries: failures in a row."""

    tries: int
    until: int


class PushResult(Struct, frozen=True):
    """The outcome of one push. retry_after_s: the wait the service asked for, or None. why: why it failed, or ""."""

    outcome: Outcome
    retry_after_s: int | None = None
    why: str = ""


class PushQueue:
    """Pushes to all devices, each device in a task of its own.

    wake: called when a device's task ended. delivered: the rings each device got, and the bell.
    pauses, deliveries: by device, the wait before its next push, and its running task.
    """

    def __init__(
        self, records: Records, settings: Settings, key: EllipticCurvePrivateKey, wake: Callable[[], None]
    ) -> None:
        self.records = records
        self.settings = settings
        self.key = key
        self.wake = wake
        self.delivered = DeliveredRings(records)
        self.ringing: set[RingKey] = set()
        self.ringing_clocks: tuple[str, ...] = ()
        self.pauses: dict[str, Pause] = {}
        self.deliveries: dict[str, asyncio.Task[None]] = {}
        self.threads = ThreadPoolExecutor(AT_ONCE, thread_name_prefix="push")

    async def deliver(self, ringing: Sequence[Alarm], alarms: Sequence[Alarm], now: int) -> None:
        """Start pushing to every device that lacks a ring; does not wait for the pushes.

        ringing: rings due at `now` (ms). alarms: all rings, past and to come. Raises StoreError.
        """
        self.ringing = {alarm.key for alarm in ringing}
        self.ringing_clocks = tuple(alarm.clock for alarm in ringing)
        if not ringing:
            return
        at_work = set(self.deliveries)  # before the read: a task that ends during it may drop a subscription
        for device in await self.records.subscriptions():
            if device.device in at_work or self.paused_until(device.device) > now:
                continue
            wanted = undelivered(ringing, self.delivered.to(device.device), device.since_ms)
            if wanted:
                task = asyncio.create_task(self.push_rings(device, wanted, alarms))
                self.deliveries[device.device] = task
                task.add_done_callback(partial(self.ended, device.device))

    def ended(self, device: str, task: asyncio.Task[None]) -> None:
        """Free a device for further pushes. A task that raised is logged, and tried again after a pause."""
        self.deliveries.pop(device, None)
        if not task.cancelled() and (error := task.exception()) is not None:
            log.error("push task failed", device=device, exc_info=error)
            self.pause(device, "later", None)
        self.wake()

    def paused_until(self, device: str) -> int:
        """When the device may be pushed to again, in ms; 0 where there is no pause."""
        pause = self.pauses.get(device)
        return 0 if pause is None else pause.until

    def resumes_at(self, now: int) -> int | None:
        """When the first pause after `now` ends, in ms; None where there is none."""
        return min((pause.until for pause in self.pauses.values() if pause.until > now), default=None)

    async def push_rings(self, device: Subscription, wanted: Sequence[Alarm], alarms: Sequence[Alarm]) -> None:
        """Push one ring after the other until one fails. Rings that were acknowledged meanwhile are left out."""
        for alarm in wanted:
            if alarm.key not in self.ringing:
                continue
            now = self.settings.clock()
            ttl = ttl_s(lasts_until(alarm, alarms), now)
            sent = await self.push(device, topic_of(alarm), ttl, message_of(alarm, now, self.ringing_clocks))
            await self.record(device, alarm.key, sent)
            if sent.outcome != "accepted":
                return

    async def push(self, device: Subscription, topic: str, ttl: int, text: bytes) -> PushResult:
        """Encrypt, sign and send one message. ttl: seconds for which the push service keeps it."""
        now, random_bytes = self.settings.clock(), self.settings.random_bytes
        try:
            body = encrypt(text, device.p256dh, device.auth, key_from(random_bytes(40)), random_bytes(16))
            headers = headers_of(topic, ttl, authorization(self.key, device.endpoint, self.settings.contact, now))
            work = partial(send, device.endpoint, headers, body, self.settings.loopback_push)
            answer = await asyncio.get_running_loop().run_in_executor(self.threads, work)
        except Unreachable as error:
            return PushResult("later", why=str(error))
        except Refused as error:
            return PushResult("rejected", why=str(error))
        return result_of(answer, now, self.settings.contact)

    async def record(self, device: Subscription, key: RingKey, sent: PushResult) -> None:
        """Record a push's outcome, in memory before on disk: a full disk must neither repeat nor delay a ring."""
        if sent.outcome == "accepted":
            self.pauses.pop(device.device, None)
            await self.delivered.note(device.device, key, self.settings.clock())
            return
        self.pause(device.device, "rejected" if sent.outcome == "expired" else sent.outcome, sent.retry_after_s)
        try:
            if sent.outcome == "expired":
                log.info("push subscription expired", device=device.device)
                await self.records.drop_subscription(device.device, device.endpoint)
                self.pauses.pop(device.device, None)
            else:
                log.warning("push failed", device=device.device, why=sent.why)
                await self.records.note_not_delivered(device.device, sent.why)
        except StoreError as error:
            log.warning("push outcome not recorded", device=device.device, why=error.what, next_step=error.next_step)

    def pause(self, device: str, outcome: Outcome, retry_after_s: int | None) -> None:
        """Push nothing to this device for a while: longer after each failure in a row."""
        tries = self.pauses.get(device, Pause(0, 0)).tries + 1
        self.pauses[device] = Pause(tries, self.settings.clock() + pause_ms(outcome, tries, retry_after_s))

    def end_pauses(self) -> None:
        """Push to every device again at once: the clock was set, by which the pauses were to end."""
        self.pauses.clear()

    async def close(self, seconds: float = 3) -> None:
        """Wait at most `seconds` for pushes under way, so that they are recorded; then cancel the rest."""
        if self.deliveries:
            _, late = await asyncio.wait(list(self.deliveries.values()), timeout=seconds)
            for task in late:
                task.cancel()
        await self.delivered.write(self.settings.clock())
        self.threads.shutdown(wait=False, cancel_futures=True)


def result_of(answer: PushResponse, now: int, contact: str) -> PushResult:
    """The outcome of a push from the service's answer. now: ms. contact: "" when the server gives none."""
    meaning = outcome(answer.status)
    advice = GIVE_CONTACT if meaning == "rejected" and not contact else "It is tried again."
    why = "" if meaning == "accepted" else f"The push service answered {answer.status}. {advice}"
    return PushResult(meaning, retry_after_seconds(answer.retry_after, now), why)
