"""The network between a phone and the server: answers that are lost, connections that are cut, garbled bytes."""

import json
import socket
import struct
from collections.abc import Callable
from pathlib import Path

import httpx
from histories.phone import Cut, id_of
from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.trial import Trial, local
from speed.fault_kinds.witness import Witness, asked

TRIES = 12


def answers_lost(folder: Path) -> Outcome:
    """The server takes a batch, and its answer never arrives, however often the phone sends again.

    Each entry is in the log once, and its clock rings once.
    """
    return each_batch(folder, lambda phone, request: lose_answer(phone, request))


def cut_within_batch(folder: Path) -> Outcome:
    """The connection is reset inside a batch. Nothing of it is taken in part; sent again, it is there once."""
    return each_batch(folder, lambda phone, request: send_part(phone, request))


def each_batch(folder: Path, fault: Callable[[Witness, bytes], None]) -> Outcome:
    """A phone that sends its batches twice under this fault before one comes through."""
    with local(folder) as trial:
        for n in range(TRIES):
            trial.phone.note(f"note {n}")
            trial.phone.note("x" * (1 + 4000 * n))
            if n % 3 == 0:
                trial.phone.clamp()
            for _ in range(2):
                fault(trial.phone, request_of(trial.phone))
            trial.tries += 1
            trial.phone.deliver()
        trial.recover()
        return trial.judged()


def request_of(phone: Witness) -> bytes:
    """The whole request that the phone sends next."""
    body = asked(phone.batch(), phone.after, phone.log_epoch)
    head = f"POST /sync HTTP/1.1\r\nHost: {phone.client.base_url.netloc.decode()}\r\nDevice: {phone.device}\r\n"
    return f"{head}Content-Length: {len(body)}\r\n\r\n".encode() + body


def connected(phone: Witness) -> socket.socket:
    """A connection that is reset, not closed, when it ends."""
    connection = socket.create_connection((phone.client.base_url.host, phone.client.base_url.port or 80), timeout=20)
    connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    return connection


def lose_answer(phone: Witness, request: bytes) -> None:
    """Send all of it, wait for the first byte of the answer, and hang up."""
    with connected(phone) as connection:
        connection.sendall(request)
        connection.recv(1)


def send_part(phone: Witness, request: bytes) -> None:
    """Send two thirds of it and hang up."""
    with connected(phone) as connection:
        connection.sendall(request[: len(request) * 2 // 3])


def garbled_answers(folder: Path) -> Outcome:
    """One byte in each answer is another, as a broken proxy makes it. A phone takes in nothing that it cannot read.

    What it sends again is in the log once. What the page says of such answers is tried in its browser: see pages.py.
    """
    with local(folder) as trial:
        for n in range(TRIES):
            trial.phone.note(f"note {n}")
            garble(trial, 1 + n * 7)
            trial.tries += 1
            trial.phone.deliver()
        trial.recover()
        return trial.judged()


def garble(trial: Trial, at: int) -> None:
    """One round trip whose answer has another byte at this place, counted from its end."""
    phone = trial.phone
    whole = phone.client.send
    before = {id_of(body) for body in phone.waits.values()}

    def garbled(*args: object, **more: object) -> httpx.Response:
        answer = whole(*args, **more)  # type: ignore[arg-type]
        content = bytearray(answer.content)
        content[-1 - at % len(content)] ^= 0x80
        return httpx.Response(answer.status_code, content=bytes(content), request=answer.request)

    phone.client.send = garbled  # type: ignore[method-assign]
    try:
        phone.sync_once()
    except Cut:
        pass
    finally:
        phone.client.send = whole  # type: ignore[method-assign]
    still = {id_of(body) for body in phone.waits.values()}
    trial.expect(before <= still or json_is_whole(phone), "a phone took a garbled answer for a whole one")


def json_is_whole(phone: Witness) -> bool:
    """Whether everything that came can be read."""
    try:
        return all(json.loads(body) for body in phone.came)
    except ValueError:
        return False
