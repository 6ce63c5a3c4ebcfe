"""The plan of all open builds, and what would be if."""

from typing import Annotated

from litestar import Response, get, post
from litestar.di import NamedDependency as Given
from litestar.openapi.datastructures import ResponseSpec
from litestar.params import HeaderParameter, RawBody

from benchbell.plan.report.messages import Difference, PlanTold, WhatIf
from benchbell.web.body import read, taking
from benchbell.web.errors import PROBLEMS
from benchbell.web.runtime import ShopRuntime

IfNoneMatch = Annotated[str, HeaderParameter(name="If-None-Match", description="The plan the page has", max_length=80)]


BARE = {
    204: ResponseSpec(None, description="No build is open"),
    304: ResponseSpec(None, description="The page has it"),
}


@get("/plan", responses=PROBLEMS | BARE, summary="The plan of all open builds")
async def plan(shop: Given[ShopRuntime], known: IfNoneMatch = "") -> Response[PlanTold | None]:
    """Made anew when something happened since that matters."""
    made = await shop.current_plan.newest()
    if made is None:
        return Response(None, status_code=204)
    headers = {"ETag": made.etag, "Cache-Control": "no-cache"}
    if known == made.etag:
        return Response(None, status_code=304, headers=headers)
    return Response(made.told, headers=headers)


@post(
    "/plan/what-if",
    status_code=200,
    request_max_body_size=10_000,
    responses=PROBLEMS,
    operation_class=taking(WhatIf),
    summary="What would come of more clamps, another glue, other hours or more hands",
)
async def what_if(body: RawBody, shop: Given[ShopRuntime]) -> Difference:
    """Both plans side by side."""
    return await shop.current_plan.what_if(read(body, WhatIf))


PLAN_ROUTES = (plan, what_if)
