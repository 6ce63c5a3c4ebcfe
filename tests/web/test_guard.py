"""Who is let in: a sweep over every route, and what other sites may not do."""

import pytest
from benchbell.web import nudges
from scene import for_a_shop, for_one_machine, pair
from web.routes import every_route

OPEN = {
    ("post", "/pair"),  # asks for a code instead
    ("get", "/calendar/hall-bench"),  # asks for a secret in its address instead
    ("get", "/labels.css"),  # holds nothing of the shop's
}


def ask(client, method, path, **headers):
    return client.request(method, path, content=b"{}" if method in ("post", "put") else None, headers=headers)


def test_every_route_refuses_without_a_token(tmp_path):
    with for_a_shop(tmp_path) as client:
        client.shop.doorkeeper.stranger_limits.burst = 1000
        answers = {(method, path): ask(client, method, path) for method, path in every_route(client)}
        kinds = {route: answer.json()["error"]["kind"] for route, answer in answers.items() if route not in OPEN}

    assert len(kinds) >= 15
    assert {"not-paired"} == set(kinds.values())
    assert {401} == {answer.status_code for route, answer in answers.items() if route not in OPEN}


@pytest.mark.parametrize("header", ["", "Bearer", "Bearer ", "Bearer 00", "Basic YTpi", "Bearer " + "f" * 64])
def test_a_token_nobody_was_given_opens_nothing(tmp_path, header):
    with for_a_shop(tmp_path) as client:
        assert 401 == client.get("/recipes", headers={"Authorization": header}).status_code


def test_every_route_refuses_a_revoked_token(tmp_path):
    with for_a_shop(tmp_path) as client:
        device = pair(client)
        client.post(f"/devices/{device}/revoke")
        asked = [route for route in every_route(client) if route not in {*OPEN, ("post", "/sync")}]
        kinds = {ask(client, *route).json()["error"]["kind"] for route in asked}

    assert {"revoked"} == kinds


@pytest.fixture
def no_streams(monkeypatch):
    """GET /live is refused at its end, so that a guard that lets it through shows and does not hold the test."""
    monkeypatch.setattr(nudges, "MOST_STREAMS", 0)


@pytest.mark.parametrize("origin", ["https://elsewhere.example", "https://127.0.0.1:8000", "null"])
def test_every_route_of_serve_local_refuses_what_another_sites_page_asks(tmp_path, no_streams, origin):
    with for_one_machine(tmp_path) as client:
        kinds = {refusal(client, route, origin) for route in every_route(client)}

    assert {"foreign-origin"} == kinds


@pytest.mark.parametrize(
    "origin",
    ["https://elsewhere.example", "http://bench.local:8443", "https://bench.local", "ftp://bench.local:8443", "null"],
)
def test_every_route_of_the_shop_refuses_what_another_sites_page_asks_with_a_paired_phones_cookie(
    tmp_path, no_streams, origin
):
    with for_a_shop(tmp_path) as client:
        pair(client)
        kinds = {refusal(client, route, origin) for route in every_route(client)}

    assert {"foreign-origin"} == kinds


def refusal(client, route, origin):
    """Why a request with this Origin is refused; its status where it is not."""
    answer = ask(client, *route, Origin=origin)
    return answer.json()["error"]["kind"] if answer.status_code == 403 else answer.status_code


def test_the_shops_own_page_may_ask(tmp_path):
    with for_a_shop(tmp_path) as client:
        pair(client)
        own = client.get("/device", headers={"Origin": "https://bench.local:8443"})
        capitals = client.get("/device", headers={"Origin": "https://bench.local:8443", "Host": "Bench.Local:8443"})

    assert (200, 200) == (own.status_code, capitals.status_code)


@pytest.mark.parametrize("host", ["elsewhere.example", "localhost.elsewhere.example", "192.168.1.5:8443", "", "["])
def test_serve_local_answers_to_loopback_names_alone(tmp_path, host):
    with for_one_machine(tmp_path) as client:
        answer = client.get("/recipes", headers={"Host": host})

    assert (403, "foreign-origin") == (answer.status_code, answer.json()["error"]["kind"])


@pytest.mark.parametrize("host", ["localhost", "localhost:8443", "127.0.0.1:8443", "[::1]:8443"])
def test_serve_local_answers_to_every_loopback_name(tmp_path, host):
    with for_one_machine(tmp_path) as client:
        assert 200 == client.get("/recipes", headers={"Host": host, "Origin": f"http://{host}"}).status_code


def test_a_token_works_as_cookie_and_as_bearer(tmp_path):
    with for_a_shop(tmp_path) as client:
        device = pair(client)
        token = client.cookies["__Host-benchbell"]
        by_cookie = client.get("/device").json()
        client.cookies.clear()
        by_header = client.get("/device", headers={"Authorization": f"Bearer {token}"}).json()

    assert {"device": device, "name": "bench phone", "local": False} == by_cookie == by_header


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_another_sites_page_asks_without_an_origin_is_refused_and_a_link_is_followed(tmp_path, site):
    with for_one_machine(tmp_path) as client:
        fetched = client.get("/recipes", headers={"Sec-Fetch-Site": site, "Sec-Fetch-Mode": "no-cors"})
        followed = client.get("/recipes", headers={"Sec-Fetch-Site": site, "Sec-Fetch-Mode": "navigate"})
        own = client.get("/recipes", headers={"Sec-Fetch-Site": "same-origin", "Sec-Fetch-Mode": "cors"})

    assert (403, "foreign-origin") == (fetched.status_code, fetched.json()["error"]["kind"])
    assert (200, 200) == (followed.status_code, own.status_code)
