"""What a stranger measures is what the server read, not what its kernel keeps unread."""

import socket
import threading
from contextlib import contextmanager

import pytest
from benchbell.web.protocol import LINGER_BYTES
from ports import free_port
from speed.fault_kinds.strangers import MOST_SWALLOWED, pour

MB = 1_000_000


@contextmanager
def reading(most: int, hold_s: float):
    """A server that reads so many bytes of its one connection, holds it for so long, and hangs up; gives its port."""
    port = free_port()
    with socket.create_server(("127.0.0.1", port)) as listening:

        def serve():
            connection, _ = listening.accept()
            with connection:
                left = most
                while left > 0 and (got := connection.recv(min(left, 65_536))):
                    left -= len(got)
                threading.Event().wait(hold_s)

        thread = threading.Thread(target=serve)
        thread.start()
        yield port
        thread.join()


@pytest.mark.parametrize("read", [2 * MB, 12 * MB])
def test_a_stranger_measures_what_the_server_read(read):
    with reading(read, hold_s=0.5) as port, socket.create_connection(("127.0.0.1", port), timeout=20) as connection:
        most = pour(connection)

    assert read - MB < most < read + 2 * MB <= read + MOST_SWALLOWED - LINGER_BYTES


def test_a_stranger_measures_too_much_where_the_server_reads_on():
    with reading(40 * MB, hold_s=0) as port, socket.create_connection(("127.0.0.1", port), timeout=20) as connection:
        most = pour(connection)

    assert most >= MOST_SWALLOWED
