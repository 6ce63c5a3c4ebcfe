"""A bell that writes down how it was rung."""

import json
import sys

WRITE = """
import json, os, sys
told = {k: v for k, v in os.environ.items() if k.startswith("BENCHBELL_")}
open(sys.argv[1], "a").write(json.dumps([sys.argv[2:], told]) + chr(10))
"""


def writer(file, *words):
    """A bell that writes down how it was rung."""
    return (sys.executable, "-c", WRITE, str(file), *words)


def written(file):
    return [json.loads(line) for line in file.read_text().splitlines()] if file.exists() else []
