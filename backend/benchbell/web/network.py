"""The machine's names and addresses, and telling the network about them by multicast DNS (RFC 6762)."""

import re
import socket
from ipaddress import ip_address

import ifaddr
from msgspec import Struct
from zeroconf import Error, IPVersion, ServiceInfo
from zeroconf.asyncio import AsyncZeroconf


class Place(Struct, frozen=True):
    """Where this machine can be reached. name: its own in `.local`; names, addresses: all, the best first."""

    name: str
    names: tuple[str, ...]
    addresses: tuple[str, ...]


def place_now() -> Place:
    """As it is at this moment."""
    host = re.sub("[^a-z0-9.-]+", "-", socket.gethostname().lower()).strip("-.") or "benchbell"
    short = host.partition(".")[0]
    name = f"{short}.local"
    names = tuple(dict.fromkeys((name, short, host, "localhost")))
    found = [ip.ip if isinstance(ip.ip, str) else ip.ip[0] for adapter in ifaddr.get_adapters() for ip in adapter.ips]
    return Place(name, names, sorted_addresses(found))


def sorted_addresses(addresses: list[str]) -> tuple[str, ...]:
    """Short ones of the local network first, then IPv6, this machine's own at the end."""

    def rank(text: str) -> tuple[bool, bool, bool, str]:
        address = ip_address(text)
        return address.is_loopback, address.version == 6, address.is_link_local, text

    return tuple(sorted(dict.fromkeys(addresses), key=rank))


class Announcer:
    """Answers the network when it asks for this machine's name, and lists the server among its services."""

    def __init__(self, port: int, interfaces: list[str] | None = None) -> None:
        self.port = port
        self.interfaces = interfaces
        self.zeroconf: AsyncZeroconf | None = None
        self.told: ServiceInfo | None = None

    async def tell(self, place: Place) -> str:
        """Announce, or announce anew; gives "" or why that could not be done. Takes a second or two."""
        info = service(place, self.port)
        try:
            if self.zeroconf is None:
                where = {"interfaces": self.interfaces} if self.interfaces else {}
                self.zeroconf = AsyncZeroconf(ip_version=IPVersion.All if not where else IPVersion.V4Only, **where)  # type: ignore[arg-type]
                await (await self.zeroconf.async_register_service(info, allow_name_change=True))
            elif self.told is not None and self.told.addresses != info.addresses:
                await (await self.zeroconf.async_update_service(info))
        except (TimeoutError, OSError, Error) as error:
            return str(error) or type(error).__name__
        self.told = info
        return ""

    async def stop(self) -> None:
        """Say goodbye."""
        if self.zeroconf is not None:
            await self.zeroconf.async_unregister_all_services()
            await self.zeroconf.async_close()


def service(place: Place, port: int) -> ServiceInfo:
    """What is announced: a web server over https under the machine's own name."""
    reachable = [address for address in place.addresses if not ip_address(address).is_loopback]
    return ServiceInfo(
        "_https._tcp.local.",
        f"Benchbell on {place.name.partition('.')[0]}._https._tcp.local.",
        port=port,
        parsed_addresses=reachable or list(place.addresses),
        server=f"{place.name}.",
        properties={"path": "/"},
    )
