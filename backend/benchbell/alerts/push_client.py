"""Sends a push to a public address over https, and to no other address.

A device chooses the address itself, so it could make the server send requests into the workshop's own network
(server-side request forgery). Therefore only https is used; the name is looked up once, all its addresses must be
public, and the connection goes to one of these; redirects are not followed. `loopback` allows this machine, for tests.
"""

import http.client
import re
import socket
import ssl
from email.utils import parsedate_to_datetime
from ipaddress import IPv4Address, IPv6Address, IPv6Network, ip_address
from urllib.parse import SplitResult, urlsplit

from msgspec import Struct

from benchbell.findings import Refused

TIMEOUT_S = 10
"""Limit for connecting, and again for the answer."""

PRINTABLE = re.compile(r"[!-~]{1,1000}")
NAT64 = IPv6Network("64:ff9b::/96")
"""IPv6 addresses that a translator maps to IPv4 (RFC 6052)."""

RESUBSCRIBE = "Switch notifications off and on again in the page, so that the browser makes a new subscription."


class PushResponse(Struct, frozen=True):
    """The push service's answer: its HTTP status, and its Retry-After header or None."""

    status: int
    retry_after: str | None


class Unreachable(Refused):
    """The push service cannot be reached now."""


def check_endpoint(endpoint: str, loopback: bool) -> SplitResult:
    """The parsed address. Raises Refused when no push may be sent there: not https, not public, not an address."""
    try:
        parts = urlsplit(endpoint)
        parts.port  # noqa: B018  raises ValueError for an invalid port
        host = parts.hostname or ""
    except ValueError as error:
        raise Refused(f"The push address is no address ({error}).", RESUBSCRIBE) from error
    literal = as_ip(host)
    if not PRINTABLE.fullmatch(endpoint) or not host or parts.username is not None:
        raise Refused("The push address is not written as one.", RESUBSCRIBE)
    if parts.scheme != "https" and not (loopback and parts.scheme == "http"):
        raise Refused(f"The push address begins with {parts.scheme!r}; only https is used.", RESUBSCRIBE)
    if literal is not None:
        check_address(literal, loopback)
    return parts


def as_ip(host: str) -> IPv4Address | IPv6Address | None:
    """The host as an IP address; None where it is a name."""
    try:
        return ip_address(host)
    except ValueError:
        return None


def check_address(address: IPv4Address | IPv6Address, loopback: bool) -> None:
    """Raises Refused for an address that is not on the public internet."""
    seen = embedded_ipv4(address)
    if loopback and seen.is_loopback:
        return
    if not seen.is_global or seen.is_multicast or seen.is_reserved:
        raise Refused(f"The push address leads to {address}, which is not on the internet.", RESUBSCRIBE)


def embedded_ipv4(address: IPv4Address | IPv6Address) -> IPv4Address | IPv6Address:
    """The IPv4 address that an IPv6 address stands for; the address itself where it stands for none."""
    if isinstance(address, IPv4Address):
        return address
    if address in NAT64:
        return IPv4Address(int(address) & 0xFFFFFFFF)
    return address.ipv4_mapped or address.sixtofour or address


def addresses_of(host: str, port: int, loopback: bool) -> list[str]:
    """All IP addresses of a name. Raises Unreachable, and Refused when any of them is not public."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except OSError as error:
        raise Unreachable(
            f"The push service {host} was not found ({error.strerror}).", "Check the server's network."
        ) from error
    addresses = list(dict.fromkeys(str(row[4][0]) for row in found))
    for address in addresses:
        check_address(ip_address(address.partition("%")[0]), loopback)
    return addresses


def send(endpoint: str, headers: dict[str, str], body: bytes, loopback: bool) -> PushResponse:
    """Send one push and wait for the answer, so never call it on the event loop.

    endpoint: the subscription's address. body: as webpush.encrypt gives it. Raises Unreachable, Refused.
    """
    parts = check_endpoint(endpoint, loopback)
    host = parts.hostname or ""
    port = parts.port or (443 if parts.scheme == "https" else 80)
    connection = PinnedConnection(host, port, addresses_of(host, port, loopback), parts.scheme == "https")
    path = f"{parts.path or '/'}?{parts.query}" if parts.query else parts.path or "/"
    try:
        connection.request("POST", path, body, headers)
        answer = connection.getresponse()
        return PushResponse(answer.status, answer.getheader("Retry-After"))
    except (OSError, http.client.HTTPException) as error:
        raise Unreachable(
            f"The push service {host} does not answer ({error or type(error).__name__}).", "Check the server's network."
        ) from error
    finally:
        connection.close()


class PinnedConnection(http.client.HTTPConnection):
    """A connection to the first of given IP addresses that answers; the certificate must be for the name."""

    def __init__(self, host: str, port: int, addresses: list[str], secure: bool) -> None:
        super().__init__(host, port, timeout=TIMEOUT_S)
        self.addresses = addresses
        self.tls = ssl.create_default_context() if secure else None
        self.default_port = 443 if secure else 80  # the port that the Host header leaves out

    def connect(self) -> None:
        """Try one address after the other. Raises the last one's OSError."""
        for n, address in enumerate(self.addresses, 1):
            try:
                plain = socket.create_connection((address, self.port), TIMEOUT_S)
                break
            except OSError:
                if n == len(self.addresses):
                    raise
        self.sock = self.tls.wrap_socket(plain, server_hostname=self.host) if self.tls else plain


def retry_after_seconds(retry_after: str | None, now: int) -> int | None:
    """The seconds from `now` (ms) that a Retry-After header asks for (RFC 9110, section 10.2.3).

    The header holds a number or a date; None where it is neither.
    """
    if retry_after is None:
        return None
    if retry_after.strip().isdecimal():
        return int(retry_after)
    try:
        return max(0, round(parsedate_to_datetime(retry_after).timestamp() - now / 1000))
    except (ValueError, TypeError):
        return None
