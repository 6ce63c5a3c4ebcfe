"""The plan of all open builds, and what-if questions about it."""

from typing import Annotated

from litestar import Response, get, post
from litestar.di import NamedDependency as Given
from litestar.openapi.datastructures import ResponseSpec
from litestar.params import HeaderParameter, RawBody

from benchbell.plan.report.messages import Difference, PresentedPlan, WhatIf
from benchbell.web.body import decoded, json_body
from benchbell.web.errors import REFUSALS
from benchbell.web.runtime import ShopRuntime

IfNoneMatch = Annotated[str, HeaderParameter(name="If-None-Match", description="The plan the page has", max_length=80)]


BARE = {
    204: ResponseSpec(None, description="No build is open"),
    304: ResponseSpec(None, description="The page has it"),
}


@get("/plan", responses=REFUSALS | BARE, summary="The plan of all open builds")
async def plan(shop: Given[ShopRuntime], known: IfNoneMatch = "") -> Response[PresentedPlan | None]:
    """Planned again when something that affects the plan was recorded since. Raises Refused, StoreError."""
    made = await shop.current_plan.newest()
    if made is None:
        return Response(None, status_code=204)
    headers = {"ETag": made.etag, "Cache-Control": "no-cache"}
    if known == made.etag:
        return Response(None, status_code=304, headers=headers)
    return Response(made.report, headers=headers)


@post(
    "/plan/what-if",
    status_code=200,
    request_max_body_size=10_000,
    responses=REFUSALS,
    operation_class=json_body(WhatIf),
    summary="The effect of more clamps, another glue, other hours or more hands",
)
async def what_if(body: RawBody, shop: Given[ShopRuntime]) -> Difference:
    """The difference between the two plans. Raises Refused when no build is open, Unreadable, StoreError."""
    return await shop.current_plan.what_if(decoded(body, WhatIf))


PLAN_ROUTES = (plan, what_if)
