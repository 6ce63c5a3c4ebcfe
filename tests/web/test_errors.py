"""Every refusal has one shape and a next step, whoever refuses."""

import re

import pytest
from benchbell.findings import Refused
from benchbell.store.errors import DiskFull
from benchbell.web.errors import REFUSALS, STATUS, detail_of
from benchbell.web.messages import Refusal, RefusalDetail
from litestar import get
from litestar.testing import TestClient
from msgspec import json
from scene import for_one_machine
from web.routes import every_route

JUNK = [b"", b"{}", b"[]", b"null", b"\xff\xfe", b'{"id":1}', b'"' + b"x" * 200_000 + b'"']


def said(answer) -> RefusalDetail:
    """The refusal, strictly read."""
    assert answer.headers["content-type"].split(";")[0] == "application/json"
    return json.decode(answer.content, type=Refusal).error


def is_sentence(text: str) -> bool:
    return bool(re.fullmatch(r"[^\s].*[.;!]", text, re.DOTALL)) and "Traceback" not in text


@pytest.mark.parametrize("junk", JUNK, ids=range(len(JUNK)))
def test_whatever_is_sent_to_any_route_a_refusal_has_the_one_shape(tmp_path, junk):
    with for_one_machine(tmp_path) as client:
        answers = [
            client.request(method, path, content=junk, headers={"Device": "ab" * 8})
            for _, path in every_route(client)
            for method in ("get", "post", "put", "delete", "patch")
            if path != "/live"
        ]
    refusals = [answer for answer in answers if answer.status_code >= 400]

    assert len(refusals) > 40
    for answer in refusals:
        assert answer.status_code in REFUSALS, answer.request.url
        assert is_sentence(said(answer).what) and is_sentence(said(answer).next_step), answer.text


@pytest.mark.parametrize(("error", "status", "kind"), STATUS, ids=lambda row: getattr(row, "__name__", None))
def test_every_exception_has_its_status_and_kind(error, status, kind):
    made = error.__new__(error)
    Refused.__init__(made, "It is so.", "Do this.")
    for extra in ("taken_to", "seconds"):
        setattr(made, extra, 1)
    made.findings = ()

    assert (status, kind) == (detail_of(made)[0], detail_of(made)[1].kind)


@pytest.mark.parametrize(
    ("error", "status", "kind"),
    [
        (ZeroDivisionError("with a secret in it"), 500, "server-fault"),
        (DiskFull("The disk is full.", "Make room."), 507, "disk-full"),
    ],
)
def test_a_fault_of_ours_tells_nothing_of_its_inside(tmp_path, error, status, kind):
    @get("/recipes/fault", sync_to_thread=False)
    def fault() -> None:
        raise error

    with for_one_machine(tmp_path) as client:
        client.app.register(fault)
        with TestClient(client.app, base_url="http://127.0.0.1", raise_server_exceptions=False) as careful:
            answer = careful.get("/recipes/fault")

    assert (status, kind) == (answer.status_code, said(answer).kind)
    assert "secret" not in answer.text
