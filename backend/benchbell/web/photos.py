"""Photos, stored and served under their SHA-256. Happenings refer to them by that name."""

from litestar import Request, Response, get, put
from litestar.datastructures import State
from litestar.di import NamedDependency as Given
from litestar.params import FromPath

from benchbell.store.errors import DamagedPhoto
from benchbell.store.photos import MOST_BYTES, TYPES, type_of
from benchbell.web.body import binary_body
from benchbell.web.errors import REFUSALS, NotHere
from benchbell.web.messages import PhotoKept
from benchbell.web.runtime import ShopRuntime

FOR_EVER = "private, max-age=31536000, immutable"
"""The content of a name never changes."""


@put(
    "/photos/{sha256:str}",
    request_max_body_size=MOST_BYTES,
    responses=REFUSALS,
    operation_class=binary_body(*(media_type for media_type, _, _ in TYPES)),
    summary="Store a photo",
)
async def put_photo(sha256: FromPath[str], request: Request[None, None, State], shop: Given[ShopRuntime]) -> PhotoKept:
    """JPEG, PNG or WebP, 12 MB at most, without metadata. Sending it again does no harm.

    Raises TooLarge, and Refused when it is no such picture, has metadata, or is not what its name says.
    """
    kept = PhotoKept(sha256, await shop.records.keep_photo(sha256, request.stream()))
    shop.scrubber.note_photo(sha256, is_damaged=False)
    return kept


@get("/photos/{sha256:str}", media_type="image/*", responses=REFUSALS, summary="A photo")
async def get_photo(sha256: FromPath[str], shop: Given[ShopRuntime]) -> Response[bytes]:
    """With the media type that its first bytes show. Raises NotHere, and DamagedPhoto, after which phones send it."""
    try:
        body = await shop.records.photo(sha256)
    except DamagedPhoto:
        shop.scrubber.note_photo(sha256, is_damaged=True)
        raise
    if body is None:
        raise NotHere("This photo is not on the server yet.", "Look at it on the phone that took it.")
    headers = {"Cache-Control": FOR_EVER, "Content-Security-Policy": "sandbox; default-src 'none'"}
    return Response(body, media_type=type_of(body[:12]) or "application/octet-stream", headers=headers)
