"""Reading a request's body once, with an error that tells the place; and telling OpenAPI what it holds."""

from dataclasses import dataclass
from typing import Any, TypeVar

import msgspec
from litestar.openapi.spec import Operation

from benchbell.web.errors import Unreadable

T = TypeVar("T")


def read(body: bytes, form: type[T]) -> T:
    """The body as a struct. Raises Unreadable with the path of what is wrong."""
    try:
        body.decode()
        return msgspec.json.decode(body, type=form)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise Unreadable(f"The request is not of its form: {error}.", "Update the page.") from error


def taking(form: type) -> type[Operation]:
    """The OpenAPI operation of a route that reads such a body itself."""

    @dataclass
    class Taking(Operation):
        def to_schema(self) -> dict[str, Any]:
            (reference,), parts = msgspec.json.schema_components([form], ref_template="#/$defs/{name}")
            schema = {**reference, "$defs": parts}
            content = {"application/json": {"schema": schema}}
            return {**super().to_schema(), "requestBody": {"required": True, "content": content}}

    return Taking
