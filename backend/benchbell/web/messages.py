"""What the page and the server say to each other: the structs of every request and answer.

No library but msgspec is needed to import this, so that the page's types can be made from it.
"""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta, Raw, Struct

from benchbell.bench.encoding import Envelope
from benchbell.findings import Finding

WIRE = 2
"""The version of these messages that this server speaks best."""

OLDEST_PAGE = 2
"""The oldest version of them that it still understands."""

MOST_HAPPENINGS = 500
"""In one batch from a phone."""

Position = Annotated[int, Meta(ge=0, le=2**53 - 1)]
UUID7 = r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$"
RECIPE_NAME = r"^[A-Za-z0-9][A-Za-z0-9._-]{0,79}$"

Trouble = Literal[
    "unreadable",
    "refused",
    "findings",
    "gap",
    "two-phones",
    "page-too-old",
    "server-too-old",
    "too-large",
    "too-slow",
    "not-paired",
    "revoked",
    "wrong-code",
    "foreign-origin",
    "not-found",
    "not-allowed",
    "too-many",
    "disk-full",
    "damaged",
    "store",
    "server-fault",
]
"""The kinds of refusal a page can act on."""


class Problem(Struct, frozen=True, omit_defaults=True):
    """Why not, and what to do. taken_to: for "gap" and "two-phones"; findings: for "findings"."""

    what: str
    next_step: str
    kind: Trouble
    taken_to: int | None = None
    findings: tuple[Finding, ...] = ()


class Refusal(Struct, frozen=True):
    """The one shape of every refusal."""

    error: Problem


class SyncRequest(Struct, frozen=True):
    """What a phone sends: see web/sync.py. happenings: each kept to the letter."""

    page: Annotated[int, Meta(ge=0, le=1_000_000)]
    after: Position
    happenings: Annotated[list[Raw], Meta(extra_json_schema={"items": msgspec.json.schema(Envelope)})] = []
    log_epoch: Annotated[str, Meta(max_length=64)] = ""


class SyncAnswer(Struct, frozen=True):
    """What it gets back. happenings: a list, each to the letter."""

    taken_to: int
    happenings: Annotated[Raw, Meta(extra_json_schema={"type": "array", "items": {}})]
    position: int
    server_time: int
    more: bool
    log_epoch: str


class RecipeLine(Struct, frozen=True):
    """One recipe in the list, with how many findings of each grade it has."""

    name: str
    title: str
    about: str
    errors: int
    warnings: int


class Recipes(Struct, frozen=True):
    """All recipes, by name."""

    recipes: list[RecipeLine]


class RecipeText(Struct, frozen=True):
    """A recipe as written."""

    name: str
    text: str


class ToCheck(Struct, frozen=True):
    """A recipe as somebody types it."""

    text: Annotated[str, Meta(max_length=1_000_000)]


class CheckedRecipe(Struct, frozen=True):
    """What the checker says, errors first."""

    findings: tuple[Finding, ...]


class NewBuild(Struct, frozen=True):
    """A build to start. id: chosen by the page, so that asking twice starts one build."""

    id: Annotated[str, Meta(pattern=UUID7)]
    recipe: Annotated[str, Meta(pattern=RECIPE_NAME)]
    pieces: Annotated[int, Meta(ge=1, le=26)]
    name: Annotated[str, Meta(min_length=1, max_length=120)]


class BuildStarted(Struct, frozen=True):
    """The build is in the book; its sheet comes to every phone with the next sync."""

    build: str
    name: str
    codes: dict[str, str]


class PairRequest(Struct, frozen=True):
    """A one-time code, and what this device shall be called."""

    code: Annotated[str, Meta(max_length=40)]
    name: Annotated[str, Meta(max_length=120)]


class ThisDevice(Struct, frozen=True):
    """Who this device is. local: the server is for this machine alone; the page then makes up `device` itself."""

    device: str
    name: str
    local: bool


class DeviceLine(Struct, frozen=True):
    """A device in the list. Moments in ms; this: the one that asks; aside: happenings kept aside for review."""

    id: str
    name: str
    paired_ms: int
    seen_ms: int
    revoked_ms: int | None
    this: bool
    aside: int


class Devices(Struct, frozen=True):
    """Every device there ever was."""

    devices: list[DeviceLine]


class PairingCode(Struct, frozen=True):
    """For one more device. address: what its square holds; rows: the square, "1" where a module is dark."""

    code: str
    until_ms: int
    address: str
    rows: list[str]


class PhotoKept(Struct, frozen=True):
    """The picture is on disk."""

    sha256: str
    bytes: int


MESSAGES: tuple[type, ...] = (
    Refusal,
    SyncAnswer,
    Recipes,
    RecipeText,
    CheckedRecipe,
    NewBuild,
    BuildStarted,
    PairRequest,
    ThisDevice,
    Devices,
    PairingCode,
    PhotoKept,
)
"""What the page's types are made from; bodies that stay raw are written by hand there."""
