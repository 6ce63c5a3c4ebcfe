"""Everything that lives as long as the server: one object that owns it, its start and its orderly end.

A request handler asks for it by type: `shop: Given[ShopRuntime]`.
"""

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import AsyncExitStack, asynccontextmanager
from typing import cast

from litestar.datastructures import State
from msgspec import Struct
from msgspec.structs import replace

from benchbell.alerts.alarm_loop import AlarmLoop
from benchbell.alerts.bell import Bell, terminal
from benchbell.alerts.clock_tracker import ClockTracker
from benchbell.alerts.heartbeat import Heartbeat
from benchbell.alerts.push_key import push_key_of
from benchbell.alerts.push_queue import PushQueue
from benchbell.alerts.server_clock import ServerClock
from benchbell.bench.happenings import SERVER
from benchbell.durations import DAY_MS
from benchbell.planner.current_plan import CurrentPlan
from benchbell.settings import Settings
from benchbell.store.records import Records
from benchbell.store.sqlite_records import open_records
from benchbell.web.daily_backup import back_up_daily
from benchbell.web.doorkeeper import Doorkeeper
from benchbell.web.limits import CodeGuesses
from benchbell.web.nudges import Listeners
from benchbell.web.scrubber import Scrubber


class ShopRuntime(Struct, frozen=True):
    """What the running server consists of.

    settings: `clock` is the server's. server_clock: the same, with its base. doorkeeper: recognises devices by their
    tokens. code_guesses: limits guessing of pairing codes.
    listeners: open pages, woken at each new position. clock_tracker: which clocks run. push_queue: pushes to devices.
    alarm_loop: rings when a clock is due. heartbeat: when it last made a whole round. current_plan: the plan of all
    open builds. scrubber: looks for damage. latest_stamp: gives the latest stamp, in ms, that a clock which is right or
    nearly so may have made.
    """

    settings: Settings
    server_clock: ServerClock
    records: Records
    doorkeeper: Doorkeeper
    code_guesses: CodeGuesses
    listeners: Listeners
    clock_tracker: ClockTracker
    push_queue: PushQueue
    alarm_loop: AlarmLoop
    heartbeat: Heartbeat
    current_plan: CurrentPlan
    scrubber: Scrubber
    latest_stamp: Callable[[], int]


@asynccontextmanager
async def running(settings: Settings) -> AsyncIterator[ShopRuntime]:
    """Start everything; at the end of the block stop it in reverse order, the records last.

    Raises StoreError when the records cannot be opened.
    """
    async with AsyncExitStack() as stack:
        records = await open_records(settings.data)
        stack.push_async_callback(records.close)
        server_clock = ServerClock(records, settings.machine, settings.random_bytes)
        await server_clock.start()
        await server_clock.lower_floor()
        stack.push_async_callback(server_clock.close)
        settings = replace(settings, clock=server_clock)
        wake = asyncio.Event()
        clock_tracker = ClockTracker(records, server_clock)
        push_queue = PushQueue(records, settings, push_key_of(settings), wake.set)
        stack.push_async_callback(push_queue.close)
        bell = Bell(settings.bell, terminal())
        heartbeat = Heartbeat(server_clock)
        alarm_loop = AlarmLoop(records, server_clock, clock_tracker, push_queue, bell, wake, heartbeat)
        listeners = Listeners(await records.newest_position(), heartbeat.last_ms)
        heartbeat.resumed = listeners.wake
        listeners.add(alarm_loop.news, SERVER)
        revocations = asyncio.create_task(listeners.follow_revocations(records))
        stack.callback(revocations.cancel)

        async def announce() -> None:
            push_queue.end_pauses()
            listeners.announce(await records.newest_position())

        server_clock.announce = announce
        alarm_loop.start()
        stack.push_async_callback(alarm_loop.close)
        if settings.backup_to is not None:
            stack.push_async_callback(stopped, asyncio.create_task(back_up_daily(settings, settings.backup_to)))
        current_plan = CurrentPlan(records, settings, clock_tracker)
        stack.push_async_callback(current_plan.close)

        def latest_stamp() -> int:
            """A day after now, or after the floor where the clock was set back behind it."""
            return max(server_clock(), server_clock.floor_ms) + DAY_MS

        scrubber = Scrubber(records, server_clock, latest_stamp, listeners.announce)
        scrubber.start()
        stack.push_async_callback(scrubber.close)
        yield ShopRuntime(
            settings=settings,
            server_clock=server_clock,
            records=records,
            doorkeeper=Doorkeeper(records, settings),
            code_guesses=CodeGuesses(),
            listeners=listeners,
            clock_tracker=clock_tracker,
            push_queue=push_queue,
            alarm_loop=alarm_loop,
            heartbeat=heartbeat,
            current_plan=current_plan,
            scrubber=scrubber,
            latest_stamp=latest_stamp,
        )


async def stopped(task: asyncio.Task[None]) -> None:
    """Stop a task that runs as long as the server."""
    task.cancel()
    await asyncio.wait([task])


def runtime_of(state: State) -> ShopRuntime:
    """The runtime of the application with this state."""
    return cast(ShopRuntime, state.runtime)
