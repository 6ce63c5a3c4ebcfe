"""Ports for the servers that tests start."""

import socket


def free_port() -> int:
    """A port nobody listens on."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        return int(taken.getsockname()[1])
