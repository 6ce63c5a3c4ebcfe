"""Every route of the server, as its OpenAPI document lists them."""

FILL = {"{sha256}": "a" * 64, "{name}": "hall-bench", "{id}": "ab" * 8}


def every_route(client):
    """(method, path) of all that the OpenAPI document lists, with something in each place."""
    listed = client.app.openapi_schema.to_schema()["paths"]
    return [(method, filled(path)) for path, methods in listed.items() for method in methods]


def filled(path):
    for place, value in FILL.items():
        path = path.replace(place, value)
    while "{" in path:
        path = path[: path.index("{")] + "01936b00-0000-7000-8000-000000000001" + path[path.index("}") + 1 :]
    return path
