"""Who loses a connection when there are too many."""

import pytest
from benchbell.web.connections import Connections


class Room:
    """Counted connections; `closed` names those that were closed to make room, in order."""

    def __init__(self, **most):
        self.connections, self.closed = Connections(**most), []

    def open(self, name, address):
        return self.connections.open(address, lambda: self.closed.append(name))


def test_of_one_address_the_oldest_goes():
    room = Room(strangers=10, most_of_one=3)
    for n in range(5):
        room.open(n, "a")
    room.open("other", "b")

    assert [0, 1] == room.closed
    assert 4 == room.connections.strangers.count


def test_of_all_strangers_the_one_who_has_most_loses_his_oldest():
    room = Room(strangers=6, most_of_one=5)
    for n in range(4):
        room.open(f"a{n}", "a")
    for n in range(4):
        room.open(f"b{n}", f"b{n}")

    assert ["a0", "a1"] == room.closed


def test_where_all_have_one_the_oldest_goes():
    room = Room(strangers=3)
    for n in range(5):
        room.open(n, str(n))

    assert [0, 1] == room.closed


def test_a_paired_device_keeps_its_connection_however_many_strangers_come_from_its_address():
    room = Room(strangers=5, most_of_one=3)
    room.open("phone", "a").recognise("phone's id")
    for n in range(50):
        room.open(n, "a")
        room.open(f"b{n}", f"b{n}")

    assert "phone" not in room.closed
    assert (5, 1) == (room.connections.strangers.count, room.connections.devices.count)


def test_one_device_does_not_take_the_room_of_the_others():
    room = Room(devices=6, most_of_one=5)
    room.open("phone", "a").recognise("phone")
    for n in range(20):
        room.open(n, "b").recognise("broken")

    assert list(range(15)) == room.closed


def test_a_connection_that_is_recognised_again_counts_once():
    room = Room()
    counted = room.open("phone", "a")
    for _ in range(3):
        counted.recognise("phone")

    assert (0, 1) == (room.connections.strangers.count, room.connections.devices.count)
    assert {"phone": {counted: None}} == room.connections.devices.held


@pytest.mark.parametrize("recognised", [False, True])
def test_a_connection_that_ended_is_forgotten_once_and_cannot_come_back(recognised):
    room = Room()
    counted = room.open("phone", "a")
    if recognised:
        counted.recognise("phone")
    for _ in range(2):
        counted.release()
    counted.recognise("other")

    assert [(0, {})] * 2 == [(pool.count, pool.held) for pool in (room.connections.strangers, room.connections.devices)]
