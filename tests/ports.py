"""Ports for the servers that tests start."""

import random
import socket

OURS = range(20_000, 32_000)
"""Below those that a system gives to outgoing connections (Linux: 32768 and up): none of them can take it meanwhile."""


def free_port() -> int:
    """A port nobody listens on."""
    while True:
        port = random.SystemRandom().choice(OURS)
        try:
            with socket.create_server(("127.0.0.1", port)):
                return port
        except OSError:
            continue
