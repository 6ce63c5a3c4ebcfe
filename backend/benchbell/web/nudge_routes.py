"""The stream on which an open page waits for news, and hears that the alarms run."""

from litestar import get
from litestar.di import NamedDependency as Given
from litestar.response import ServerSentEvent

from benchbell.web.errors import REFUSALS
from benchbell.web.runtime import ShopRuntime


@get("/live", responses=REFUSALS, summary="A stream of nudges: the newest position, whenever it moves")
async def live(device: Given[str], shop: Given[ShopRuntime]) -> ServerSentEvent:
    """Server-sent events (HTML Living Standard, section 9.2). Raises TooMany when too many pages listen."""
    shop.listeners.check_room()
    nudges = shop.listeners.nudges(device)
    return ServerSentEvent(nudges, headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"})
