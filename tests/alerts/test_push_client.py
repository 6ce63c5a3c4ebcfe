"""Where a push may go, and where it may not."""

import socket
import ssl
import threading
from ipaddress import ip_address

import pytest
import trustme
from alerts.push_service import push_service
from benchbell.alerts.push_client import Unreachable, check_address, check_endpoint, retry_after_seconds, send
from benchbell.findings import Refused

# RFC 6890 and the IANA special-purpose address registries; RFC 6052 and RFC 3056 for IPv4 inside IPv6.
INSIDE = (
    *("0.0.0.0", "10.1.2.3", "100.64.0.1", "127.0.0.1", "169.254.169.254", "172.16.0.1", "192.168.1.5", "192.0.2.1"),
    *("198.18.0.1", "224.0.0.251", "240.0.0.1", "255.255.255.255"),
    *("::", "::1", "fe80::1", "fd00::1", "ff02::fb", "2001:db8::1", "::ffff:192.168.1.5", "64:ff9b::c0a8:105"),
    *("2002:c0a8:105::1",),
)
OUTSIDE = ("198.41.0.4", "2001:503:ba3e::2:30", "::ffff:198.41.0.4", "64:ff9b::c629:4")
"""A name server of the root zone, by its two addresses, and the first as seen through a translator."""


@pytest.mark.parametrize("address", INSIDE)
def test_no_push_goes_to_an_address_inside(address):
    with pytest.raises(Refused, match=r"which is not on the internet\. Switch notifications off and on again"):
        check_address(ip_address(address), loopback=False)


@pytest.mark.parametrize("address", OUTSIDE)
def test_a_push_goes_to_an_address_on_the_internet(address):
    check_address(ip_address(address), loopback=False)


def test_the_tests_own_setting_opens_this_machine_and_no_other():
    check_address(ip_address("127.0.0.1"), loopback=True)
    with pytest.raises(Refused, match="not on the internet"):
        check_address(ip_address("192.168.1.5"), loopback=True)


@pytest.mark.parametrize(
    "endpoint",
    [
        *("", "push", "http://push.example.net/x", "file:///etc/passwd"),
        *("https:///x", "https://a b/", "https://x/\r\nHost: y", "https://[::1"),
    ],
)
def test_what_is_no_address_on_the_web_is_refused(endpoint):
    with pytest.raises(Refused):
        check_endpoint(endpoint, loopback=False)


def test_a_name_that_leads_inside_is_refused_although_it_leads_outside_too(monkeypatch):
    rows = [(socket.AF_INET, socket.SOCK_STREAM, 6, "", (address, 443)) for address in ("198.41.0.4", "192.168.1.5")]
    monkeypatch.setattr(socket, "getaddrinfo", lambda *_, **__: rows)
    monkeypatch.setattr(socket, "create_connection", lambda *_: pytest.fail("it was connected to"))
    with pytest.raises(Refused, match=r"leads to 192\.168\.1\.5, which is not on the internet"):
        send("https://push.example.net/x", {}, b"", loopback=False)


def test_the_connection_goes_to_the_address_that_was_checked(monkeypatch):
    asked = []
    rows = [(socket.AF_INET, socket.SOCK_STREAM, 6, "", ("198.41.0.4", 443))]
    monkeypatch.setattr(socket, "getaddrinfo", lambda *_, **__: rows)

    def connect(address, _):
        asked.append(address)
        raise ConnectionRefusedError("refused")

    monkeypatch.setattr(socket, "create_connection", connect)
    with pytest.raises(Unreachable, match=r"push\.example\.net does not answer \(refused\)"):
        send("https://push.example.net/x", {}, b"", loopback=False)

    assert [("198.41.0.4", 443)] == asked


def test_a_name_nobody_knows_is_unreachable(monkeypatch):
    def unknown(*_, **__):
        raise socket.gaierror(socket.EAI_NONAME, "Name or service not known")

    monkeypatch.setattr(socket, "getaddrinfo", unknown)
    with pytest.raises(Unreachable, match="was not found"):
        send("https://push.example.net/x", {}, b"", loopback=False)


def test_a_redirect_is_not_followed():
    with push_service() as service:
        service.answers.append((307, {"Location": "/elsewhere"}))
        answer = send(service.endpoint, {}, b"x", loopback=True)

    assert 307 == answer.status
    assert ["/push/abc"] == [message.path for message in service.asked]


def test_the_query_of_an_address_belongs_to_it():
    with push_service() as service:
        send(f"{service.endpoint}?token=1", {}, b"x", loopback=True)

    assert "/push/abc?token=1" == service.took[0].path
    assert service.endpoint.split("/")[2] == service.took[0].headers["Host"]


@pytest.fixture(params=["localhost", "elsewhere.example"])
def tls_service(request):
    """A service on this machine whose certificate names one host, signed by an authority made for the test."""
    authority = trustme.CA()
    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    authority.issue_cert(request.param).configure_cert(context)
    with push_service() as service:
        service.server.socket = context.wrap_socket(service.server.socket, server_side=True)
        yield request.param, authority, f"https://localhost:{service.server.server_port}/push"


def test_the_certificate_must_be_of_the_name_and_of_a_known_authority(tls_service, monkeypatch):
    name, authority, endpoint = tls_service
    with pytest.raises(Unreachable, match="CERTIFICATE_VERIFY_FAILED"):
        send(endpoint, {}, b"x", loopback=True)
    trusting = ssl.create_default_context()
    authority.configure_trust(trusting)
    monkeypatch.setattr(ssl, "create_default_context", lambda: trusting)
    if name == "localhost":
        assert 201 == send(endpoint, {}, b"x", loopback=True).status
    else:
        with pytest.raises(Unreachable, match="Hostname mismatch"):
            send(endpoint, {}, b"x", loopback=True)


def test_a_service_that_says_nothing_is_given_up(monkeypatch):
    monkeypatch.setattr("benchbell.alerts.push_client.TIMEOUT_S", 0.05)
    with socket.create_server(("127.0.0.1", 0)) as silent:
        threading.Thread(target=silent.accept, daemon=True).start()
        with pytest.raises(Unreachable, match="does not answer"):
            send(f"http://127.0.0.1:{silent.getsockname()[1]}/", {}, b"x", loopback=True)


@pytest.mark.parametrize(
    ("header", "expected"),
    [
        (None, None),
        ("120", 120),
        (" 7 ", 7),
        ("Fri, 31 Dec 1999 23:59:59 GMT", 59),
        ("Fri, 31 Dec 1999 23:58:59 GMT", 0),
        ("soon", None),
        ("-5", None),
    ],
)
def test_retry_after_is_a_number_or_a_date(header, expected):
    # RFC 9110, section 10.2.3, with its own examples; now is 1999-12-31 23:59:00 UTC.
    assert expected == retry_after_seconds(header, 946_684_740_000)
