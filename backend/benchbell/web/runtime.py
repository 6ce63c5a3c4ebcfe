"""Everything that lives as long as the server: one object that owns it, its start and its orderly end.

A request handler asks for it by type: `shop: Given[ShopRuntime]`.
"""

import asyncio
from collections.abc import AsyncIterator
from contextlib import AsyncExitStack, asynccontextmanager
from typing import cast

from litestar.datastructures import State
from msgspec import Struct

from benchbell.alerts.alarm_loop import AlarmLoop
from benchbell.alerts.bell import Bell, terminal
from benchbell.alerts.clock_tracker import ClockTracker
from benchbell.alerts.push_key import push_key_of
from benchbell.alerts.push_queue import PushQueue
from benchbell.bench.happenings import SERVER
from benchbell.planner.current_plan import CurrentPlan
from benchbell.settings import Settings
from benchbell.store.records import Records
from benchbell.store.sqlite_records import open_records
from benchbell.web.daily_backup import back_up_daily
from benchbell.web.doorkeeper import Doorkeeper
from benchbell.web.limits import CodeThrottle
from benchbell.web.nudges import Listeners


class ShopRuntime(Struct, frozen=True):
    """What the running server consists of.

    doorkeeper: recognises devices by their tokens. code_throttle: slows down guessing of pairing codes.
    listeners: open pages, woken at each new position. clock_tracker: which clocks run. push_queue: pushes to devices.
    alarm_loop: rings when a clock is due. current_plan: the plan of all open builds.
    """

    settings: Settings
    records: Records
    doorkeeper: Doorkeeper
    code_throttle: CodeThrottle
    listeners: Listeners
    clock_tracker: ClockTracker
    push_queue: PushQueue
    alarm_loop: AlarmLoop
    current_plan: CurrentPlan


@asynccontextmanager
async def running(settings: Settings) -> AsyncIterator[ShopRuntime]:
    """Start everything; at the end of the block stop it in reverse order, the records last.

    Raises StoreError when the records cannot be opened, Refused when the push key cannot be read.
    """
    async with AsyncExitStack() as stack:
        records = await open_records(settings.data)
        stack.push_async_callback(records.close)
        wake = asyncio.Event()
        clock_tracker = ClockTracker(records, settings.clock)
        push_queue = PushQueue(records, settings, push_key_of(settings), wake.set)
        stack.push_async_callback(push_queue.close)
        bell = Bell(settings.bell, terminal())
        alarm_loop = AlarmLoop(records, settings.clock, clock_tracker, push_queue, bell, wake)
        listeners = Listeners(await records.newest_position())
        listeners.add(alarm_loop.news, SERVER)
        alarm_loop.start()
        stack.push_async_callback(alarm_loop.close)
        if settings.backup_to is not None:
            stack.push_async_callback(stopped, asyncio.create_task(back_up_daily(settings, settings.backup_to)))
        current_plan = CurrentPlan(records, settings, clock_tracker)
        stack.push_async_callback(current_plan.close)
        yield ShopRuntime(
            settings=settings,
            records=records,
            doorkeeper=Doorkeeper(records, settings),
            code_throttle=CodeThrottle(),
            listeners=listeners,
            clock_tracker=clock_tracker,
            push_queue=push_queue,
            alarm_loop=alarm_loop,
            current_plan=current_plan,
        )


async def stopped(task: asyncio.Task[None]) -> None:
    """Stop a task that runs as long as the server."""
    task.cancel()
    await asyncio.wait([task])


def runtime_of(state: State) -> ShopRuntime:
    """The runtime of the application with this state."""
    return cast(ShopRuntime, state.runtime)
