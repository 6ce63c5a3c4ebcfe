"""Keeps certificate, welcome page and announcement in step with the machine's addresses while the server runs."""

import asyncio
import datetime
from pathlib import Path
from ssl import SSLContext

import structlog

from benchbell.findings import Refused
from benchbell.web.certificate import Certified, certify
from benchbell.web.files import PageFile
from benchbell.web.network import Announcer, Place, place_now
from benchbell.web.welcome import welcome_files

CHECK_SECONDS = 60
"""How often the machine's addresses are checked against the certificate."""

LOOK_AGAIN = f"Look at the cause named here; the addresses are checked again every {CHECK_SECONDS} s."

log = structlog.get_logger()


class AddressFollower:
    """Follows the machine's addresses. place: as last taken over. port: of the https server.

    secured: what the https server shows its certificate with; None when it shows none. files: of the welcome page,
    changed in place. failure: why the last check failed, or "": the same is logged once.
    """

    def __init__(
        self,
        data: Path,
        place: Place,
        announcer: Announcer,
        secured: SSLContext | None,
        files: dict[str, PageFile],
    ) -> None:
        self.data = data
        self.place = place
        self.announcer = announcer
        self.secured = secured
        self.files = files
        self.failure = ""

    async def run(self) -> None:
        """Announce the machine, then check until cancelled."""
        await self.announce()
        while True:
            await asyncio.sleep(CHECK_SECONDS)
            await self.check()

    async def check(self) -> None:
        """Take over changed addresses. A failure is logged with what to do, and the next check tries again."""
        try:
            await self.take_over(place_now())
        except Refused as refused:
            self.note_failure(refused.what, refused.next_step)
        except Exception as error:
            self.note_failure(f"{type(error).__name__}: {error}", LOOK_AGAIN)
        else:
            self.failure = ""

    async def take_over(self, current: Place) -> None:
        """Renew the certificate where needed, and tell what changed.

        Raises Refused when the certificates cannot be used, OSError when a file or the network cannot be read.
        """
        fresh = await asyncio.to_thread(own_certificate, self.data, current)
        if fresh.failure is not None and current != self.place:
            raise fresh.failure
        if fresh.renewed and self.secured is not None:
            self.secured.load_cert_chain(fresh.certificate, fresh.key)
            log.info("certificate renewed", addresses=", ".join(current.addresses))
        if fresh.renewed or current != self.place:
            addresses = https_addresses(current, self.announcer.port)
            self.files.update(welcome_files(addresses, fresh.authority, fresh.fingerprint))
        if current != self.place:
            self.place = current
            await self.announce()

    async def announce(self) -> None:
        """Announce the machine on the network. A failure is only logged, because its IP addresses still work."""
        why = await self.announcer.announce(self.place)
        if why:
            log.warning("name not announced", name=self.place.name, why=why, next_step="use an IP address")

    def note_failure(self, why: str, next_step: str) -> None:
        """Log why the addresses were not taken over, once until something else is the reason."""
        if why != self.failure:
            log.warning("changed addresses not taken over", why=why, next_step=next_step)
        self.failure = why


def own_certificate(data: Path, place: Place) -> Certified:
    """The workshop's own certificate for these names and addresses, renewed where needed. Raises Refused."""
    now = datetime.datetime.now(datetime.UTC)
    return certify(data / "certificate", place.names, place.addresses, now)


def https_addresses(place: Place, port: int) -> tuple[str, ...]:
    """The page's addresses, the best first: by name, then by IP address. Loopback only where there is nothing else."""
    numbers = [one for one in place.addresses if not one.startswith(("127.", "::1", "fe80:"))]
    hosts = [place.name, *(f"[{one}]" if ":" in one else one for one in numbers or place.addresses)]
    return tuple(f"https://{host}{'' if port == 443 else f':{port}'}" for host in hosts)
