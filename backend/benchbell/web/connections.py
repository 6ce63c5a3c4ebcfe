"""How many connections may be open at once, and which one is closed to make room.

A connection belongs to a stranger, known by its address, until a request on it comes from a paired device. Strangers
and devices have room of their own, so however many strangers connect, paired devices get in. A new connection is
never refused: it takes the place of the oldest one of the same holder, or of the holder that has the most. So a
stranger who keeps many connections loses his own, and a phone that is about to show its token is let in.
"""

from collections.abc import Callable

MOST_STRANGERS = 500
MOST_DEVICES = 500
MOST_OF_ONE = 100
"""Of one stranger's address, and of one device. A browser opens six."""

MOST_WELCOMED, MOST_WELCOMED_OF_ONE = 100, 30


class CountedConnection:
    """One open connection. close: ends it at once; replaced when the connection gets its transport."""

    def __init__(self, connections: "Connections", holder: str, close: Callable[[], object]) -> None:
        self.connections = connections
        self.holder = holder
        self.pool = connections.strangers
        self.close = close

    def recognise(self, device: str) -> None:
        """A request on this connection came from this paired device."""
        if (self.pool, self.holder) != (self.connections.devices, device) and self in self.pool:
            self.pool.remove(self)
            self.pool, self.holder = self.connections.devices, device
            self.pool.add(self)

    def release(self) -> None:
        """The connection is closed."""
        self.pool.remove(self)


class Pool:
    """Room for `most` connections, `most_of_one` of one holder."""

    def __init__(self, most: int, most_of_one: int) -> None:
        self.most = most
        self.most_of_one = most_of_one
        self.held: dict[str, dict[CountedConnection, None]] = {}
        self.count = 0

    def __contains__(self, counted: CountedConnection) -> bool:
        """Whether this connection is counted here."""
        return counted in self.held.get(counted.holder, ())

    def add(self, counted: CountedConnection) -> None:
        """Take in a connection, and close another one when there are too many."""
        self.held.setdefault(counted.holder, {})[counted] = None
        self.count += 1
        if len(self.held[counted.holder]) > self.most_of_one:
            self.close_oldest(counted.holder)
        elif self.count > self.most:
            self.close_oldest(max(self.held, key=lambda holder: len(self.held[holder])))

    def close_oldest(self, holder: str) -> None:
        """Close the holder's oldest connection."""
        oldest = next(iter(self.held[holder]))
        self.remove(oldest)
        oldest.close()

    def remove(self, counted: CountedConnection) -> None:
        """Forget a connection, if it is known."""
        if counted in self:
            del self.held[counted.holder][counted]
            self.count -= 1
            if not self.held[counted.holder]:
                del self.held[counted.holder]


class Connections:
    """All open connections of one server."""

    def __init__(
        self, strangers: int = MOST_STRANGERS, devices: int = MOST_DEVICES, most_of_one: int = MOST_OF_ONE
    ) -> None:
        self.strangers = Pool(strangers, most_of_one)
        self.devices = Pool(devices, most_of_one)

    def open(self, address: str, close: Callable[[], object]) -> CountedConnection:
        """Count a new connection from this address, see `address_group`."""
        counted = CountedConnection(self, address, close)
        self.strangers.add(counted)
        return counted


def for_one_address() -> Connections:
    """Room where all clients share one address: on this machine alone, or behind a proxy, which counts for itself."""
    most = MOST_STRANGERS + MOST_DEVICES
    return Connections(most, most, most)


def for_welcome() -> Connections:
    """Room of the welcome page's server, which knows no devices."""
    return Connections(MOST_WELCOMED, 0, MOST_WELCOMED_OF_ONE)
