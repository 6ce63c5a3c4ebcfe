"""Pushes rings to the devices: each ring once to each, again when the push service could not take it.

A ring is written down as told once the push service took it. After a restart in between it goes out again under the
same topic and tag, which a device shows once: nothing is missed, and nothing doubled where it is seen.
"""

import asyncio
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial

import structlog
from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
from msgspec import Struct

from benchbell.alerts.notice import message_of
from benchbell.alerts.push_client import Answer, Unreachable, seconds_in, send
from benchbell.alerts.schedule import Alarm, lasts_until
from benchbell.alerts.undelivered import pause_ms, untold
from benchbell.alerts.webpush import (
    Outcome,
    authorization,
    encrypt,
    headers_of,
    key_from,
    outcome,
    seconds_to_keep,
    topic_of,
)
from benchbell.findings import Refused
from benchbell.settings import Settings
from benchbell.store.record_types import RingKey, Subscription
from benchbell.store.records import Records

log = structlog.get_logger()

AT_ONCE = 4
"""Push services that are talked to at the same time."""

SAYS_NO = "Start the server with --contact mailto:you@your.domain, which some push services insist on."


class Pause(Struct, frozen=True):
    """A device's push service is left alone. tries: in vain, in a row. until: ms."""

    tries: int
    until: int


class Sent(Struct, frozen=True):
    """How it went. asked_s: how long the service asked to be left alone, None where it did not. trouble: why not."""

    outcome: Outcome
    asked_s: int | None = None
    trouble: str = ""


class PushQueue:
    """Who was told what, and who is to wait. wake: called when a device is free for more."""

    def __init__(
        self, records: Records, settings: Settings, key: EllipticCurvePrivateKey, wake: Callable[[], None]
    ) -> None:
        self.records = records
        self.settings = settings
        self.key = key
        self.wake = wake
        self.told: dict[str, set[RingKey]] = {}
        self.ringing: set[RingKey] = set()
        self.clocks: tuple[str, ...] = ()
        self.pauses: dict[str, Pause] = {}
        self.busy: dict[str, asyncio.Task[None]] = {}
        self.hands = ThreadPoolExecutor(AT_ONCE, thread_name_prefix="push")

    async def tell(self, ringing: Sequence[Alarm], alarms: Sequence[Alarm], now: int) -> None:
        """Begin to push what is due to every device that was not told yet; does not wait for it."""
        self.ringing = {alarm.key for alarm in ringing}
        self.clocks = tuple(alarm.clock for alarm in ringing)
        if not ringing:
            return
        at_work = set(self.busy)  # as of before the read: one that ends during it may drop what is read, and wakes us
        for device in await self.records.subscriptions():
            if device.device in at_work or self.paused_until(device.device) > now:
                continue
            wanted = untold(ringing, self.told.get(device.device, ()), device.since_ms)
            if wanted:
                task = asyncio.create_task(self.push_all(device, wanted, alarms))
                self.busy[device.device] = task
                task.add_done_callback(partial(self.done, device.device))

    def done(self, device: str, task: asyncio.Task[None]) -> None:
        """A device's turn is over. Whatever went wrong is told in the log, and tried again after a pause."""
        self.busy.pop(device, None)
        if not task.cancelled() and (error := task.exception()) is not None:
            log.error("push failed", device=device, exc_info=error)
            self.pause(device, "later", None)
        self.wake()

    def paused_until(self, device: str) -> int:
        """When the device may be pushed to again, in ms; 0 for now."""
        pause = self.pauses.get(device)
        return 0 if pause is None else pause.until

    def resumes_at(self, now: int) -> int | None:
        """When the first pause is over; None where there is none."""
        return min((pause.until for pause in self.pauses.values() if pause.until > now), default=None)

    async def push_all(self, device: Subscription, wanted: Sequence[Alarm], alarms: Sequence[Alarm]) -> None:
        """Push one ring after the other, as long as the push service takes them and they still ring."""
        for alarm in wanted:
            if alarm.key not in self.ringing:
                continue
            now = self.settings.clock()
            keep_s = seconds_to_keep(lasts_until(alarm, alarms), now)
            sent = await self.push(device, topic_of(alarm), keep_s, message_of(alarm, now, self.clocks))
            await self.note(device, alarm.key, sent)
            if sent.outcome != "told":
                return

    async def push(self, device: Subscription, topic: str, keep_s: int, text: bytes) -> Sent:
        """Encrypt, sign and send one message."""
        now, chance = self.settings.clock(), self.settings.random_bytes
        try:
            body = encrypt(text, device.p256dh, device.auth, key_from(chance(40)), chance(16))
            headers = headers_of(topic, keep_s, authorization(self.key, device.endpoint, self.settings.contact, now))
            work = partial(send, device.endpoint, headers, body, self.settings.loopback_push)
            answer = await asyncio.get_running_loop().run_in_executor(self.hands, work)
        except Unreachable as error:
            return Sent("later", trouble=str(error))
        except Refused as error:
            return Sent("refused", trouble=str(error))
        return sent_of(answer, now, self.settings.contact)

    async def note(self, device: Subscription, key: RingKey, sent: Sent) -> None:
        """Write down how it went."""
        now = self.settings.clock()
        if sent.outcome == "told":
            self.told.setdefault(device.device, set()).add(key)
            self.pauses.pop(device.device, None)
            await self.records.note_delivered(device.device, [key], now)
        elif sent.outcome == "gone":
            log.info("push subscription gone", device=device.device)
            self.pauses.pop(device.device, None)
            await self.records.drop_subscription(device.device, device.endpoint)
        else:
            log.warning("push not taken", device=device.device, why=sent.trouble)
            self.pause(device.device, sent.outcome, sent.asked_s)
            await self.records.note_not_delivered(device.device, sent.trouble)

    def pause(self, device: str, outcome: Outcome, asked_s: int | None) -> None:
        """Leave its push service alone for a while."""
        tries = self.pauses.get(device, Pause(0, 0)).tries + 1
        self.pauses[device] = Pause(tries, self.settings.clock() + pause_ms(outcome, tries, asked_s))

    async def close(self, seconds: float = 3) -> None:
        """Let what is under way end, so that it is not told again; not for longer than so many seconds."""
        if self.busy:
            _, late = await asyncio.wait(list(self.busy.values()), timeout=seconds)
            for task in late:
                task.cancel()
        self.hands.shutdown(wait=False, cancel_futures=True)


def sent_of(answer: Answer, now: int, contact: str) -> Sent:
    """What the push service's answer means for us."""
    meaning = outcome(answer.status)
    advice = SAYS_NO if meaning == "refused" and not contact else "It is tried again."
    trouble = "" if meaning == "told" else f"The push service answered {answer.status}. {advice}"
    return Sent(meaning, seconds_in(answer.retry_after, now), trouble)
