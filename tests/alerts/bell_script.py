"""A bell that writes down how it was rung."""

import json
import sys

from full_disk import ROOM

WRITE = f"""
{ROOM}
import json, os, sys
told = {{k: v for k, v in os.environ.items() if k.startswith("BENCHBELL_")}}
open(sys.argv[1], "a").write(json.dumps([sys.argv[2:], told]) + chr(10))
"""
FAIL = "sys.exit(1)"


def writer(file, *words, fails=False):
    """A bell that writes down how it was rung, also where the server itself can write no more."""
    return (sys.executable, "-c", WRITE + FAIL if fails else WRITE, str(file), *words)


def written(file):
    return [json.loads(line) for line in file.read_text().splitlines()] if file.exists() else []
