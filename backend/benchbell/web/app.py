"""Wires the server together: its routes, who may ask, the one error shape, the headers on every answer."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib.metadata import version
from typing import Any, cast

from litestar import Litestar
from litestar.datastructures import State
from litestar.di import Provide
from litestar.openapi.config import OpenAPIConfig
from litestar.openapi.plugins import JsonRenderPlugin

from benchbell.alerts.alarm_loop import alarm_loop_of, ringing
from benchbell.planner.current_plan import planner_of, planning
from benchbell.settings import Settings
from benchbell.store.database import Database, open_database
from benchbell.store.happenings import newest
from benchbell.web.alert_routes import ALERT_ROUTES
from benchbell.web.builds import start_build
from benchbell.web.calendar_routes import CALENDAR_ROUTES
from benchbell.web.errors import HANDLERS
from benchbell.web.files import load_page, page_first
from benchbell.web.guard import Doorkeeper, device_of, guard
from benchbell.web.headers import with_headers
from benchbell.web.label_routes import LABEL_ROUTES
from benchbell.web.limits import CodeThrottle
from benchbell.web.log_routes import LOG_ROUTES
from benchbell.web.nudges import Listeners, live
from benchbell.web.pairing import code_for_another, devices, pair_device, revoke_device, this_device
from benchbell.web.photos import get_photo, put_photo
from benchbell.web.plan_routes import PLAN_ROUTES
from benchbell.web.recipes import check_recipe, recipe, recipes
from benchbell.web.sync import sync
from benchbell.web.timeouts import with_timeouts

ROUTES: tuple[Any, ...] = (
    sync,
    live,
    recipes,
    recipe,
    check_recipe,
    start_build,
    put_photo,
    get_photo,
    pair_device,
    this_device,
    devices,
    revoke_device,
    code_for_another,
    *LOG_ROUTES,
    *LABEL_ROUTES,
    *ALERT_ROUTES,
    *CALENDAR_ROUTES,
    *PLAN_ROUTES,
)
"""Every route of the server. A route without opt["open"] asks for a device."""


def create_app(settings: Settings) -> Litestar:
    """The server, not yet listening. Raises Refused when the page is missing."""
    app = Litestar(
        route_handlers=ROUTES,
        guards=[guard],
        dependencies={
            "device": Provide(device_of, sync_to_thread=False),
            "settings": Provide(settings_of, sync_to_thread=False),
            "database": Provide(database_of, sync_to_thread=False),
            "code_throttle": Provide(code_throttle_of, sync_to_thread=False),
            "listeners": Provide(listeners_of, sync_to_thread=False),
            "alarm_loop": Provide(alarm_loop_of, sync_to_thread=False),
            "planner": Provide(planner_of, sync_to_thread=False),
        },
        exception_handlers=HANDLERS,
        lifespan=[opened, ringing, planning],
        state=State({"settings": settings}),
        openapi_config=OpenAPIConfig(
            title="Benchbell", version=version("benchbell"), render_plugins=[JsonRenderPlugin()]
        ),
        request_max_body_size=100_000,
        logging_config=None,
        debug=False,
    )
    api = {route.path.split("/")[1] for route in app.routes}
    app.asgi_handler = with_headers(page_first(with_timeouts(app.asgi_handler), load_page(settings.page), api))
    return app


def settings_of(state: State) -> Settings:
    """What the server was told."""
    return cast(Settings, state.settings)


def database_of(state: State) -> Database:
    """The open records."""
    return cast(Database, state.database)


def code_throttle_of(state: State) -> CodeThrottle:
    """Who tried which codes in vain."""
    return cast(CodeThrottle, state.code_throttle)


def listeners_of(state: State) -> Listeners:
    """Who listens for nudges."""
    return cast(Listeners, state.listeners)


@asynccontextmanager
async def opened(app: Litestar) -> AsyncIterator[None]:
    """The records are open while the server runs. Raises StoreError before it listens."""
    database = await open_database(app.state.settings.data)
    app.state.database = database
    app.state.doorkeeper = Doorkeeper(database, app.state.settings)
    app.state.code_throttle = CodeThrottle()
    app.state.listeners = Listeners(await database.read(newest))
    try:
        yield
    finally:
        await database.close()
