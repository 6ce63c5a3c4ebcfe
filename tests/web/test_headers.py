"""What every answer, of whatever kind, allows a browser to do."""

import re

import pytest
from scene import for_a_shop, for_one_machine, pair

ROUTES = [("GET", "/"), ("GET", "/nowhere.js"), ("GET", "/recipes"), ("POST", "/sync"), ("PUT", "/worker.js")]


def directives(answer):
    """The policy by directive. Content Security Policy Level 3, section 2.2.1."""
    parts = [part.split() for part in answer.headers["content-security-policy"].split(";")]
    return {name: sources for name, *sources in parts}


@pytest.mark.parametrize(("method", "path"), ROUTES)
def test_every_answer_allows_this_server_and_no_inline_script(tmp_path, method, path):
    with for_a_shop(tmp_path) as client:
        answer = client.request(method, path)
    policy = directives(answer)

    assert ["'self'"] == policy["default-src"]
    assert ["'self'", "'wasm-unsafe-eval'"] == policy["script-src"]
    assert ["'none'"] == policy["object-src"] == policy["base-uri"] == policy["frame-ancestors"]
    assert not re.search(r"unsafe-inline|'unsafe-eval'|\*|http", answer.headers["content-security-policy"])
    assert ("nosniff", "no-referrer") == (
        answer.headers["x-content-type-options"],
        answer.headers["referrer-policy"],
    )
    assert "camera=(self)" in answer.headers["permissions-policy"]


@pytest.mark.parametrize(
    ("welcome", "rule"),
    [
        pytest.param(False, "max-age=31536000", id="https alone is remembered"),
        pytest.param(True, "max-age=0", id="where there is a welcome page over http, https is forgotten"),
    ],
)
def test_https_is_remembered_where_there_is_nothing_else(tmp_path, welcome, rule):
    with for_a_shop(tmp_path, welcome=welcome) as client:
        assert rule == client.get("/").headers["strict-transport-security"]


def test_plain_http_is_not_remembered(tmp_path):
    with for_one_machine(tmp_path / "one") as client:
        assert "strict-transport-security" not in client.get("/").headers


def test_nothing_of_the_shops_is_kept_by_a_cache(tmp_path):
    with for_a_shop(tmp_path) as client:
        pair(client)
        kept = {path: client.get(path).headers["cache-control"] for path in ("/recipes", "/devices", "/device")}

    assert {"no-store"} == set(kept.values())
