"""What strangers on the network may do to a server: raw sockets, with nothing of a library's manners in between."""

import re
import select
import socket
import ssl
import sys
import threading
from contextlib import contextmanager, suppress
from pathlib import Path

REFUSED_FIRST = b"POST /sync HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1000000\r\n\r\n"
"""A stranger's request, answered before its body is read."""


def memory_mb(process, which: str = "VmHWM") -> float:
    """What the process holds in memory, in MB. VmHWM: the most so far; VmRSS: now (proc(5))."""
    status = Path(f"/proc/{process.pid}/status").read_text()
    return int(re.search(rf"{which}:\s+(\d+) kB", status)[1]) / 1000


def unverified() -> ssl.SSLContext:
    """A client that takes any certificate."""
    context = ssl.create_default_context()
    context.check_hostname = False
    context.verify_mode = ssl.CERT_NONE
    return context


def connected(port: int, tls: ssl.SSLContext | None = None) -> socket.socket:
    """A connection to the server on this machine."""
    plain = socket.create_connection(("127.0.0.1", port), timeout=20)
    try:
        return tls.wrap_socket(plain) if tls else plain
    except OSError:
        plain.close()
        raise


SEND_BUFFER = 500_000
"""What a client that measures lets its own kernel keep; Linux doubles it (socket(7), SO_SNDBUF)."""


def keep_little(connection: socket.socket) -> None:
    """Let the client's kernel keep little, so that `taken_by_server` is near the truth."""
    connection.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, SEND_BUFFER)


def taken_by_server(connection: socket.socket, sent: int) -> int:
    """How many of the bytes sent the server has read, at most 2 SEND_BUFFER too many after `keep_little`.

    What lies in its kernel's buffer, megabytes by default, it has not read (proc_pid_net(5), tcp: rx_queue). For a
    server on this machine, by IPv4.
    """
    near, far = map(in_proc, (connection.getpeername(), connection.getsockname()))
    for line in Path("/proc/net/tcp").read_text(encoding="ascii").splitlines():
        if [near, far] == line.split()[1:3]:
            return sent - int(line.split()[4].partition(":")[2], 16)
    raise ConnectionError("the server's end is gone")


def in_proc(address: tuple[str, int]) -> str:
    """An IPv4 address and port as /proc/net/tcp writes them: both in hex, the address as this machine stores it."""
    return f"{int.from_bytes(socket.inet_aton(address[0]), sys.byteorder):08X}:{address[1]:04X}"


def poured(port: int, start: bytes, piece: bytes, most: int, tls: ssl.SSLContext | None = None) -> tuple[int, bytes]:
    """Send `start`, then `piece` again and again; gives how many bytes were taken, up to `most`, and what came back."""
    taken, back = 0, b""
    with connected(port, tls) as connection:
        try:
            connection.sendall(start)
            while taken < most:
                connection.sendall(piece)
                taken += len(piece)
        except OSError:
            pass
        try:
            while got := connection.recv(65536):
                back += got
        except OSError:
            pass
    return taken, back


def answer_to(port: int, request: bytes, tls: ssl.SSLContext | None = None) -> bytes:
    """All that comes back until the server closes, or sends nothing for a while."""
    back = b""
    with connected(port, tls) as connection:
        connection.sendall(request)
        connection.settimeout(1)
        try:
            while got := connection.recv(65536):
                back += got
        except TimeoutError:
            pass
    return back


@contextmanager
def dripping(port: int, count: int, tls: ssl.SSLContext | None = None, start: bytes = REFUSED_FIRST):
    """So many connections, each with a request of which one more byte comes now and then; gives the connections."""
    held, stop = [], threading.Event()
    for _ in range(count):
        held.append(connected(port, tls))
        held[-1].sendall(start)

    def drip():
        while not stop.wait(0.5):
            for connection in held:
                with suppress(OSError):
                    connection.send(b"x")

    thread = threading.Thread(target=drip)
    thread.start()
    try:
        yield held
    finally:
        stop.set()
        thread.join()
        for connection in held:
            connection.close()


def still_open(connections) -> int:
    """How many of these connections the server has not ended."""
    waiting = select.poll()
    for connection in connections:
        waiting.register(connection, select.POLLRDHUP)
    ended = waiting.poll(0)
    return len(connections) - len(ended)
