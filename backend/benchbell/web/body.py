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
    return with_body({"application/json": {"schema": schema_of(form)}})


def taking_bytes(*media_types: str) -> type[Operation]:
    """The OpenAPI operation of a route that takes a file as it is."""
    return with_body({one: {"schema": {"type": "string", "format": "binary"}} for one in media_types})


def with_body(content: dict[str, Any]) -> type[Operation]:
    """An OpenAPI operation whose request has this content."""

    @dataclass
    class WithBody(Operation):
        def to_schema(self) -> dict[str, Any]:
            return {**super().to_schema(), "requestBody": {"required": True, "content": content}}

    return WithBody


def schema_of(form: type) -> dict[str, Any]:
    """The JSON Schema of a body, in one piece: references would point into a document that is not there yet."""
    whole = msgspec.json.schema(form)
    written: dict[str, Any] = inlined(whole, whole.get("$defs", {}))
    return written


def inlined(schema: Any, parts: dict[str, Any]) -> Any:
    """The same with every reference replaced by what it stands for."""
    if isinstance(schema, list):
        return [inlined(one, parts) for one in schema]
    if not isinstance(schema, dict):
        return schema
    parts = parts | schema.get("$defs", {})
    if "$ref" in schema:
        return inlined(parts[schema["$ref"].rpartition("/")[2]], parts)
    return {name: inlined(one, parts) for name, one in schema.items() if name != "$defs"}
