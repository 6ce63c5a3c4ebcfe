"""A machine in a workshop: the day it is, and the names and addresses it has."""

import datetime

NOW = datetime.datetime(2026, 3, 1, 12, tzinfo=datetime.UTC)
NAMES = ("bench.local", "bench", "localhost")
ADDRESSES = ("192.0.2.7", "fd00::7", "127.0.0.1")
