"""Names and addresses, and telling the network of them; on loopback alone."""

import asyncio

from benchbell.web.address_follower import https_addresses
from benchbell.web.network import Announcer, Place, place_now, sorted_addresses
from zeroconf import Zeroconf


def test_addresses_of_the_local_network_come_first():
    found = ["::1", "127.0.0.1", "fe80::1", "fd00::2", "192.0.2.7", "192.0.2.7"]

    assert ("192.0.2.7", "fd00::2", "fe80::1", "127.0.0.1", "::1") == sorted_addresses(found)


def test_this_machine_has_a_name_of_its_own_and_a_loopback_address():
    place = place_now()

    assert place.name.endswith(".local") and place.name == place.names[0]
    assert "127.0.0.1" in place.addresses


def test_the_name_comes_before_the_numbers_in_what_phones_are_told():
    place = Place("bench.local", ("bench.local",), ("192.0.2.7", "fd00::2", "fe80::1", "127.0.0.1"))

    assert ("https://bench.local:8443", "https://192.0.2.7:8443", "https://[fd00::2]:8443") == https_addresses(
        place, 8443
    )
    assert "https://bench.local" == https_addresses(place, 443)[0]


def test_another_machine_finds_the_server_and_its_new_address():
    place = Place("bench-of-a-test.local", (), ("127.0.0.1",))
    moved = Place("bench-of-a-test.local", (), ("127.0.0.2",))

    async def run():
        announcer = Announcer(8443, ["127.0.0.1"])
        found = [await announcer.announce(place), await asyncio.to_thread(look)]
        found += [await announcer.announce(moved), await asyncio.to_thread(look)]
        await announcer.stop()
        return found

    def look():
        with Zeroconf(interfaces=["127.0.0.1"]) as looking:
            name = "Benchbell on bench-of-a-test._https._tcp.local."
            found = looking.get_service_info("_https._tcp.local.", name, 3000)
            return found.server, found.port, found.parsed_addresses()

    first, found, second, found_again = asyncio.run(run())

    assert ("", "") == (first, second)
    assert ("bench-of-a-test.local.", 8443, ["127.0.0.1"]) == found
    assert ("bench-of-a-test.local.", 8443, ["127.0.0.2"]) == found_again


def test_a_network_that_does_not_take_it_is_told_in_a_sentence_and_not_fatal():
    announcer = Announcer(8443, ["192.0.2.200"])

    assert asyncio.run(announcer.announce(Place("bench.local", (), ("192.0.2.200",))))
