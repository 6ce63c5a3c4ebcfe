"""The machine's names and addresses, and their announcement by multicast DNS (RFC 6762)."""

import re
import socket
from ipaddress import ip_address

import ifaddr
from msgspec import Struct
from zeroconf import Error, IPVersion, ServiceInfo
from zeroconf.asyncio import AsyncZeroconf


class Place(Struct, frozen=True):
    """Where this machine can be reached. name: its name in `.local`. names, addresses: all, the best first."""

    name: str
    names: tuple[str, ...]
    addresses: tuple[str, ...]


def place_now() -> Place:
    """The machine's current names and addresses."""
    host = re.sub("[^a-z0-9.-]+", "-", socket.gethostname().lower()).strip("-.") or "benchbell"
    short = host.partition(".")[0]
    name = f"{short}.local"
    names = tuple(dict.fromkeys((name, short, host, "localhost")))
    found = [ip.ip if isinstance(ip.ip, str) else ip.ip[0] for adapter in ifaddr.get_adapters() for ip in adapter.ips]
    return Place(name, names, sorted_addresses(found))


def sorted_addresses(addresses: list[str]) -> tuple[str, ...]:
    """IP addresses without doubles: IPv4 first, then IPv6, loopback last."""

    def rank(text: str) -> tuple[bool, bool, bool, str]:
        address = ip_address(text)
        return address.is_loopback, address.version == 6, address.is_link_local, text

    return tuple(sorted(dict.fromkeys(addresses), key=rank))


class Announcer:
    """Answers queries for this machine's name, and lists the server as a service. interfaces: None for all."""

    def __init__(self, port: int, interfaces: list[str] | None = None) -> None:
        self.port = port
        self.interfaces = interfaces
        self.zeroconf: AsyncZeroconf | None = None
        self.announced: ServiceInfo | None = None

    async def announce(self, place: Place) -> str:
        """Announce the machine, or its changed addresses; gives "" or the reason why it failed. Takes 1 to 2 s."""
        info = service(place, self.port)
        try:
            if self.zeroconf is None:
                where = {"interfaces": self.interfaces} if self.interfaces else {}
                self.zeroconf = AsyncZeroconf(ip_version=IPVersion.All if not where else IPVersion.V4Only, **where)  # type: ignore[arg-type]
                await (await self.zeroconf.async_register_service(info, allow_name_change=True))
            elif self.announced is not None and self.announced.addresses != info.addresses:
                await (await self.zeroconf.async_update_service(info))
        except (TimeoutError, OSError, Error) as error:
            return str(error) or type(error).__name__
        self.announced = info
        return ""

    async def stop(self) -> None:
        """Withdraw the announcement."""
        if self.zeroconf is not None:
            await self.zeroconf.async_unregister_all_services()
            await self.zeroconf.async_close()


def service(place: Place, port: int) -> ServiceInfo:
    """The announced service: an https server under the machine's own name."""
    reachable = [address for address in place.addresses if not ip_address(address).is_loopback]
    return ServiceInfo(
        "_https._tcp.local.",
        f"Benchbell on {place.name.partition('.')[0]}._https._tcp.local.",
        port=port,
        parsed_addresses=reachable or list(place.addresses),
        server=f"{place.name}.",
        properties={"path": "/"},
    )
