"""The OpenAPI document, and a machine that asks every route in it anything it can think of."""

import hashlib
import threading
from contextlib import contextmanager

import pytest
import schemathesis
import uvicorn
from benchbell.commands.demo import begin_demo
from benchbell.store.photos import place_of
from benchbell.store.sqlite_records import ask_records
from benchbell.web.app import create_app
from benchbell.web.servers import config, listen
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scene import settings_in
from schemathesis import GenerationMode, checks

CHECKS = [
    checks.not_a_server_error,
    checks.status_code_conformance,
    checks.content_type_conformance,
    checks.response_headers_conformance,
    checks.response_schema_conformance,
]

PHOTO = b"\x89PNG\r\n\x1a\n"
PICTURE = hashlib.sha256(PHOTO).hexdigest()
WITHOUT_DATA = ("/labels.css",)

few = settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True, database=None)
fewer = settings(few, max_examples=4)
"""For a stranger, who is refused before anybody looks at what was sent."""


@contextmanager
def shop(folder):
    """A shop's server on plain http, as behind a proxy; gives its address, a token and the app."""
    server_settings = settings_in(folder)
    token = ask_records(
        server_settings.data,
        lambda records: records.add_device("a machine", server_settings.clock(), server_settings.random_bytes),
    ).token
    begin_demo(server_settings)
    app = create_app(server_settings)
    listening = listen("127.0.0.1", 0)
    server = uvicorn.Server(config(app))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    try:
        yield f"http://127.0.0.1:{listening.getsockname()[1]}", token, app
    finally:
        server.should_exit = True
        thread.join()


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    with shop(tmp_path_factory.mktemp("openapi")) as (url, token, app):
        while not hasattr(app.state, "runtime"):
            pass
        runtime = app.state.runtime
        for limits in (runtime.doorkeeper.device_limits, runtime.doorkeeper.stranger_limits):
            limits.burst = limits.each_second = 1e9
        yield url, {"Authorization": f"Bearer {token}"}, app, known_in(runtime.settings)


def known_in(settings):
    """By the name of the place in a path, something that is there."""
    build = ask_records(settings.data, lambda records: records.started_builds())[0]
    place = place_of(settings.data, PICTURE)
    place.parent.mkdir(parents=True)
    place.write_bytes(PHOTO)
    return {"build": build, "name": "hall-bench", "sha256": PICTURE}


@pytest.fixture(scope="module")
def routes(server):
    url, token, *_ = server
    # A stream of nudges has no end; it has tests of its own.
    return schemathesis.openapi.from_url(f"{url}/schema/openapi.json", headers=token).exclude(path="/live")


def modes_for(operation):
    """What fits the document; and what does not, where there is a body to get wrong."""
    return list(GenerationMode) if operation.body else [GenerationMode.POSITIVE]


def ask_all(routes, known, look, examples=few):
    """Ask every route what the machine thinks of, also about what is there, and `look` at each case."""
    asked = [found.ok() for found in routes.get_all_operations()]
    for operation in asked:
        strategies = [operation.as_strategy(mode) for mode in modes_for(operation)]
        here = {name: value for name, value in known.items() if f"{{{name}}}" in operation.path}
        strategies += [operation.as_strategy(path_parameters=here)] * 2 if here else []

        @given(case=st.one_of(strategies))
        @examples
        def ask(case):
            look(case)

        ask()
    return len(asked)


def test_a_paired_device_gets_what_is_documented_and_never_a_fault(routes, server):
    asked = ask_all(routes, server[3], lambda case: case.call_and_validate(headers=server[1], checks=CHECKS))

    assert asked >= 20


def test_a_stranger_gets_no_data(routes, server):
    def look(case):
        answer = case.call()
        case.validate_response(answer, checks=CHECKS)

        assert case.operation.path in WITHOUT_DATA or 400 <= answer.status_code < 500

    ask_all(routes, server[3], look, fewer)


def test_the_document_is_openapi_3_1_and_every_route_says_what_it_is(server):
    document = server[2].openapi_schema.to_schema()
    operations = [operation for path in document["paths"].values() for operation in path.values()]

    assert document["openapi"].startswith("3.1")
    assert all(operation["summary"] and operation["responses"]["401"] for operation in operations)
