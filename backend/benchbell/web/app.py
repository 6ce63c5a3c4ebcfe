"""Builds the application: routes, access checks, refusals, and the headers of every response."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib.metadata import version
from typing import Any

from litestar import Litestar
from litestar.di import Provide
from litestar.openapi.config import OpenAPIConfig
from litestar.openapi.plugins import JsonRenderPlugin

from benchbell.settings import Settings
from benchbell.web.alert_routes import ALERT_ROUTES
from benchbell.web.builds import start_build
from benchbell.web.calendar_routes import CALENDAR_ROUTES
from benchbell.web.errors import HANDLERS
from benchbell.web.files import load_page, page_first
from benchbell.web.guard import device_of, guard
from benchbell.web.headers import HTTPS_ONLY, HTTPS_OR_WELCOME, with_headers
from benchbell.web.label_routes import LABEL_ROUTES
from benchbell.web.log_routes import LOG_ROUTES
from benchbell.web.nudge_routes import live
from benchbell.web.pairing import code_for_another, devices, pair_device, revoke_device, this_device
from benchbell.web.photos import get_photo, put_photo
from benchbell.web.plan_routes import PLAN_ROUTES
from benchbell.web.recipes import check_recipe, recipe, recipes
from benchbell.web.records_routes import RECORDS_ROUTES
from benchbell.web.runtime import running, runtime_of
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
    *RECORDS_ROUTES,
)
"""Every route of the server. A route without opt["open"] requires a known device."""


def create_app(settings: Settings) -> Litestar:
    """The application, not yet listening. Raises Refused when the page was not built."""

    @asynccontextmanager
    async def lifespan(app: Litestar) -> AsyncIterator[None]:
        async with running(settings) as app.state.runtime:
            yield

    app = Litestar(
        route_handlers=ROUTES,
        guards=[guard],
        dependencies={
            "device": Provide(device_of, sync_to_thread=False),
            "shop": Provide(runtime_of, sync_to_thread=False),
        },
        exception_handlers=HANDLERS,
        lifespan=[lifespan],
        openapi_config=OpenAPIConfig(
            title="Benchbell", version=version("benchbell"), render_plugins=[JsonRenderPlugin()]
        ),
        request_max_body_size=100_000,
        logging_config=None,
        debug=False,
    )
    api = {route.path.split("/")[1] for route in app.routes}
    answering = page_first(with_timeouts(app.asgi_handler), load_page(settings.page), api)
    app.asgi_handler = with_headers(answering, HTTPS_OR_WELCOME if settings.welcome else HTTPS_ONLY)
    return app
