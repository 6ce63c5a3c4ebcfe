"""The welcome page: all there is without https."""

import asyncio
import re
from html.parser import HTMLParser

import httpx
import pytest
from benchbell.web.certificate import certify
from benchbell.web.welcome import AUTHORITY, welcome_app, welcome_files
from cryptography import x509
from web.machine import ADDRESSES, NAMES, NOW


class Asker:
    """Asks the welcome page's server."""

    def __init__(self, app, made):
        self.app, self.made = app, made

    def __call__(self, method, path):
        async def run():
            transport = httpx.ASGITransport(self.app)
            async with httpx.AsyncClient(transport=transport, base_url="http://192.0.2.7:8080") as client:
                return await client.request(method, path)

        return asyncio.run(run())

    def get(self, path):
        return self("GET", path)


@pytest.fixture
def client(tmp_path):
    made = certify(tmp_path, NAMES, ADDRESSES, NOW)
    files = welcome_files(("https://bench.local:8443", 'https://"><script>'), made.authority, made.fingerprint)
    return Asker(welcome_app(files), made)


class Read(HTMLParser):
    """Tags and addresses in a page."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.addresses = [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.addresses += [value for name, value in attrs if name in ("href", "src")]


def test_it_hands_over_the_authority_and_its_fingerprint(client):
    answer = client.get(AUTHORITY)
    handed = x509.load_pem_x509_certificate(answer.content)

    assert "application/x-x509-ca-cert" == answer.headers["content-type"]
    assert handed.extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    assert client.made.fingerprint in client.get("/").text


def test_it_leads_to_the_page_and_to_no_other_site(client):
    page = Read(client.get("/").text)

    assert {AUTHORITY, "/welcome.css", "https://bench.local:8443", 'https://"><script>'} == set(page.addresses)
    assert not {"script", "iframe", "form", "img"} & set(page.tags)
    assert not re.search(r"style=|onclick|\$", client.get("/").text)


def test_nothing_else_is_there(client):
    assert client.get("/").text == client.get("/recipes").text == client.get("/P/7H3K9QXM").text
    assert [404, 404, 404] == [
        client("POST", "/sync").status_code,
        client.get("/authority.key").status_code,
        client.get("/..%2fserver.key").status_code,
    ]


def test_it_asks_for_no_secret_key(client):
    for path in ("/", "/welcome.css", AUTHORITY):
        assert "PRIVATE KEY" not in client.get(path).text
