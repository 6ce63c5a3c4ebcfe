"""Sending a push: to a public address over https, and nowhere else.

A device names the address itself, so a wicked one could make the server knock at doors inside the workshop's own
network. Hence: https only; the name is looked up once, every address it has must be a public one, and the connection
goes to just that address; redirects are not followed. A push service on this machine is for tests alone (`loopback`).
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

SECONDS = 10
"""To connect, and again for the answer."""

PRINTABLE = re.compile(r"[!-~]{1,1000}")
BEHIND_V6 = IPv6Network("64:ff9b::/96")
"""IPv4 addresses as seen through a translator (RFC 6052)."""

ANOTHER = "Switch notifications off and on again in the page, so that the browser makes a new subscription."


class Answer(Struct, frozen=True):
    """What came back. retry_after: how long to leave it alone, as it says so, None where it does not."""

    status: int
    retry_after: str | None


class Unreachable(Refused):
    """The push service cannot be reached just now."""


def check_endpoint(endpoint: str, loopback: bool) -> SplitResult:
    """The address in its parts, where a push may be sent. Raises Refused."""
    try:
        parts = urlsplit(endpoint)
        parts.port  # noqa: B018  reading it raises ValueError for what is no port
        host = parts.hostname or ""
    except ValueError as error:
        raise Refused(f"The push address is no address ({error}).", ANOTHER) from error
    literal = as_ip(host)
    if not PRINTABLE.fullmatch(endpoint) or not host or parts.username is not None:
        raise Refused("The push address is not of its form.", ANOTHER)
    if parts.scheme != "https" and not (loopback and parts.scheme == "http"):
        raise Refused(f"The push address begins with {parts.scheme!r}; only https is used.", ANOTHER)
    if literal is not None:
        check_address(literal, loopback)
    return parts


def as_ip(host: str) -> IPv4Address | IPv6Address | None:
    """The host as a number, where it is one."""
    try:
        return ip_address(host)
    except ValueError:
        return None


def check_address(address: IPv4Address | IPv6Address, loopback: bool) -> None:
    """Raises Refused for an address that is not out on the internet."""
    seen = inner(address)
    if loopback and seen.is_loopback:
        return
    if not seen.is_global or seen.is_multicast or seen.is_reserved:
        raise Refused(f"The push address leads to {address}, which is not on the internet.", ANOTHER)


def inner(address: IPv4Address | IPv6Address) -> IPv4Address | IPv6Address:
    """The IPv4 address that one of IPv6 stands for, where it does."""
    if isinstance(address, IPv4Address):
        return address
    if address in BEHIND_V6:
        return IPv4Address(int(address) & 0xFFFFFFFF)
    return address.ipv4_mapped or address.sixtofour or address


def addresses_of(host: str, port: int, loopback: bool) -> list[str]:
    """Where the name leads. Raises Unreachable, and Refused when any of it is not on the internet."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except OSError as error:
        raise Unreachable(
            f"The push service {host} is not to be found ({error.strerror}).", "See the network."
        ) from error
    addresses = list(dict.fromkeys(str(row[4][0]) for row in found))
    for address in addresses:
        check_address(ip_address(address.partition("%")[0]), loopback)
    return addresses


def send(endpoint: str, headers: dict[str, str], body: bytes, loopback: bool) -> Answer:
    """Send one push; waits for the answer, so not in the event loop. Raises Unreachable, Refused."""
    parts = check_endpoint(endpoint, loopback)
    host = parts.hostname or ""
    port = parts.port or (443 if parts.scheme == "https" else 80)
    connection = Direct(host, port, addresses_of(host, port, loopback), parts.scheme == "https")
    path = f"{parts.path or '/'}?{parts.query}" if parts.query else parts.path or "/"
    try:
        connection.request("POST", path, body, headers)
        answer = connection.getresponse()
        return Answer(answer.status, answer.getheader("Retry-After"))
    except (OSError, http.client.HTTPException) as error:
        raise Unreachable(
            f"The push service {host} does not answer ({error or type(error).__name__}).", "See the network."
        ) from error
    finally:
        connection.close()


class Direct(http.client.HTTPConnection):
    """A connection to addresses that were looked up before, first one that answers; the certificate is the name's."""

    def __init__(self, host: str, port: int, addresses: list[str], secure: bool) -> None:
        super().__init__(host, port, timeout=SECONDS)
        self.addresses = addresses
        self.tls = ssl.create_default_context() if secure else None
        self.default_port = 443 if secure else 80  # what is left out of the Host header

    def connect(self) -> None:
        """Try one address after the other; raises the last one's OSError."""
        for n, address in enumerate(self.addresses, 1):
            try:
                plain = socket.create_connection((address, self.port), SECONDS)
                break
            except OSError:
                if n == len(self.addresses):
                    raise
        self.sock = self.tls.wrap_socket(plain, server_hostname=self.host) if self.tls else plain


def seconds_in(retry_after: str | None, now: int) -> int | None:
    """The seconds it asks for from `now` (ms): a number or a date (RFC 9110, section 10.2.3); None where neither."""
    if retry_after is None:
        return None
    if retry_after.strip().isdecimal():
        return int(retry_after)
    try:
        return max(0, round(parsedate_to_datetime(retry_after).timestamp() - now / 1000))
    except (ValueError, TypeError):
        return None
