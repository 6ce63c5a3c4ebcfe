"""Pictures, by their SHA-256; they travel beside the happenings that name them."""

from litestar import Request, Response, get, put
from litestar.datastructures import State
from litestar.di import NamedDependency as Given
from litestar.params import FromPath

from benchbell.store.photos import MOST_BYTES, TYPES, type_of
from benchbell.web.body import taking_bytes
from benchbell.web.errors import PROBLEMS, NotHere
from benchbell.web.messages import PhotoKept
from benchbell.web.runtime import ShopRuntime

FOR_EVER = "private, max-age=31536000, immutable"
"""A picture never changes under its name."""


@put(
    "/photos/{sha256:str}",
    request_max_body_size=MOST_BYTES,
    responses=PROBLEMS,
    operation_class=taking_bytes(*(media_type for media_type, _, _ in TYPES)),
    summary="Keep a picture",
)
async def put_photo(sha256: FromPath[str], request: Request[None, None, State], shop: Given[ShopRuntime]) -> PhotoKept:
    """JPEG, PNG or WebP, 12 MB at most, bare of all that tells where, when or by whom.

    Sending it again does no harm; after a cut, send it again.
    """
    return PhotoKept(sha256, await shop.records.keep_photo(sha256, request.stream()))


@get("/photos/{sha256:str}", media_type="image/*", responses=PROBLEMS, summary="A picture")
async def get_photo(sha256: FromPath[str], shop: Given[ShopRuntime]) -> Response[bytes]:
    """Served with the type its own bytes tell, and as nothing else."""
    body = await shop.records.photo(sha256)
    if body is None:
        raise NotHere("This photo has not arrived here yet.", "Look at it on the phone that took it.")
    headers = {"Cache-Control": FOR_EVER, "Content-Security-Policy": "sandbox; default-src 'none'"}
    return Response(body, media_type=type_of(body[:12]) or "application/octet-stream", headers=headers)
