"""The page: its files, its places, and what the browser may keep of them."""

import pytest
from benchbell.findings import Refused
from benchbell.web.files import load_page
from scene import PAGE, for_a_shop

DOCUMENT = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    with for_a_shop(tmp_path_factory.mktemp("page")) as client:
        yield client


@pytest.mark.parametrize(
    ("path", "kind", "cache"),
    [
        ("/", "text/html; charset=utf-8", "no-cache"),
        ("/index.html", "text/html; charset=utf-8", "no-cache"),
        ("/worker.js", "text/javascript; charset=utf-8", "no-cache"),
        ("/manifest.webmanifest", "application/manifest+json", "no-cache"),
        ("/assets/reader-1a2b.wasm", "application/wasm", "public, max-age=31536000, immutable"),
    ],
)
def test_each_file_has_its_type_and_its_cache_rule(client, path, kind, cache):
    answer = client.get(path)

    assert (200, kind, cache) == (
        answer.status_code,
        answer.headers["content-type"],
        answer.headers["cache-control"],
    )


@pytest.mark.parametrize("path", ["/P/7H3K9QXM", "/b/stand/log", "/shop", "/a%20b/%C3%A9", "//x"])
def test_every_place_in_the_page_is_the_page(client, path):
    assert PAGE == client.get(path).text


@pytest.mark.parametrize("path", ["/recipes", "/recipes/hall-bench", "/devices", "/pair"])
def test_a_place_named_like_a_route_is_the_page_when_a_browser_opens_it(client, path):
    assert PAGE == client.get(path, headers=DOCUMENT).text
    assert PAGE != client.get(path, headers={"Accept": "application/json"}).text


@pytest.mark.parametrize(
    "path",
    [
        "/assets/gone-0000.js",
        "/../data/benchbell.db",
        "/%2e%2e/data/benchbell.db",
        "/assets/..%2f..%2fetc/passwd.txt",
        "/x.y",
    ],
)
def test_a_file_that_is_not_the_pages_is_not_served(client, path):
    answer = client.get(path)

    assert (404, "not-found") == (answer.status_code, answer.json()["error"]["kind"])


def test_a_file_the_browser_has_is_not_sent_again(client):
    tag = client.get("/worker.js").headers["etag"]
    same = client.get("/worker.js", headers={"If-None-Match": tag})

    assert (304, b"") == (same.status_code, same.content)
    assert 200 == client.get("/worker.js", headers={"If-None-Match": '"other"'}).status_code


def test_a_look_at_the_head_brings_no_body(client):
    head = client.head("/worker.js")

    assert (200, b"", "20") == (head.status_code, head.content, head.headers["content-length"])


def test_a_page_that_was_never_built_says_how(tmp_path):
    with pytest.raises(Refused, match=r"The page is missing from .*python backend/build_page.py"):
        load_page(tmp_path)
