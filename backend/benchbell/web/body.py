"""Decodes request bodies, with errors that name the wrong field, and describes the bodies for OpenAPI."""

from dataclasses import dataclass
from typing import Any, TypeVar

import msgspec
from litestar.openapi.spec import Operation

from benchbell.web.errors import Unreadable

T = TypeVar("T")


def decoded(body: bytes, form: type[T]) -> T:
    """A JSON body as a struct of this type. Raises Unreadable with the path of the wrong field."""
    try:
        body.decode()
        return msgspec.json.decode(body, type=form)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise Unreadable(f"The request cannot be read: {error}.", "Update the page.") from error


def json_body(form: type) -> type[Operation]:
    """The OpenAPI operation of a route whose body is JSON for a struct of this type."""
    return with_body({"application/json": {"schema": schema_of(form)}})


def binary_body(*media_types: str) -> type[Operation]:
    """The OpenAPI operation of a route whose body is a file of one of these media types."""
    return with_body({one: {"schema": {"type": "string", "format": "binary"}} for one in media_types})


def with_body(content: dict[str, Any]) -> type[Operation]:
    """An OpenAPI operation with this request body: OpenAPI's content object, by media type."""

    @dataclass
    class WithBody(Operation):
        def to_schema(self) -> dict[str, Any]:
            return {**super().to_schema(), "requestBody": {"required": True, "content": content}}

    return WithBody


def schema_of(form: type) -> dict[str, Any]:
    """The JSON Schema of a struct without references: the document they would point into does not exist yet."""
    whole = msgspec.json.schema(form)
    written: dict[str, Any] = inlined(whole, whole.get("$defs", {}))
    return written


def inlined(schema: Any, parts: dict[str, Any]) -> Any:
    """The schema with every reference replaced by the definition from `parts` that it names."""
    if isinstance(schema, list):
        return [inlined(one, parts) for one in schema]
    if not isinstance(schema, dict):
        return schema
    parts = parts | schema.get("$defs", {})
    if "$ref" in schema:
        return inlined(parts[schema["$ref"].rpartition("/")[2]], parts)
    return {name: inlined(one, parts) for name, one in schema.items() if name != "$defs"}
