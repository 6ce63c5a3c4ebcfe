"""The structs of every request and answer between page and server.

Importing this needs no library but msgspec, so that the page's types can be generated from it.
"""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta, Raw, Struct

from benchbell.bench.encoding import Envelope
from benchbell.findings import Finding
from benchbell.recipe.sheet import Choice

WIRE = 2
"""The version of these messages that this server uses."""

OLDEST_PAGE = 2
"""The oldest version of them that it still supports."""

MOST_HAPPENINGS = 500
"""The most happenings in one batch from a phone."""

Position = Annotated[int, Meta(ge=0, le=2**53 - 1)]
UUID7 = r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$"
ChoiceName = Annotated[str, Meta(max_length=60)]
RECIPE_NAME = r"^[A-Za-z0-9][A-Za-z0-9._-]{0,79}$"

RefusalKind = Literal[
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
"""The kinds of refusal, by which a page decides what to do."""


class RefusalDetail(Struct, frozen=True, omit_defaults=True):
    """Why a request was refused, and what to do. taken_to: for "gap" and "two-phones". findings: for "findings"."""

    what: str
    next_step: str
    kind: RefusalKind
    taken_to: int | None = None
    findings: tuple[Finding, ...] = ()


class Refusal(Struct, frozen=True):
    """The body of every refusal."""

    error: RefusalDetail


class SyncRequest(Struct, frozen=True):
    """What a phone sends to /sync (see web/sync.py). happenings: each stored byte for byte. healing: copies of damaged
    entries. confirmed: the phone's highest number that the server confirmed; 0 where it does not say.
    """

    page: Annotated[int, Meta(ge=0, le=1_000_000)]
    after: Position
    happenings: Annotated[list[Raw], Meta(extra_json_schema={"items": msgspec.json.schema(Envelope)})] = []
    log_epoch: Annotated[str, Meta(max_length=64)] = ""
    healing: Annotated[list[Raw], Meta(extra_json_schema={"items": msgspec.json.schema(Envelope)})] = []
    confirmed: Position = 0


class EntryName(Struct, frozen=True):
    """An entry by its id, and the build it is of; "" for the whole shop."""

    id: str
    build: str


class SyncAnswer(Struct, frozen=True):
    """What /sync answers (see web/sync.py). happenings: a list, each byte for byte as it was sent.

    alarms_ran: None before the first whole round. latest_ms: later stamps are ahead of the server. early: ids of the
    device's happenings that wait for that reason. damaged: entries that the server cannot read any more.
    damaged_photos: photos likewise, by SHA-256.
    """

    taken_to: int
    happenings: Annotated[Raw, Meta(extra_json_schema={"type": "array", "items": {}})]
    position: int
    server_time: int
    more: bool
    log_epoch: str
    base: int
    alarms_ran: int | None
    latest_ms: int = 0
    early: tuple[str, ...] = ()
    damaged: tuple[EntryName, ...] = ()
    damaged_photos: tuple[str, ...] = ()


class DamagedBuild(Struct, frozen=True):
    """A build, "" for the shop, and how many of its entries are damaged. beginning: the one it begins with, too."""

    build: str
    entries: int
    beginning: bool


class EarlyDevice(Struct, frozen=True):
    """A device, and how many of its entries wait because they are stamped ahead, the latest for `latest_ms`."""

    device: str
    entries: int
    latest_ms: int


class AheadBuild(Struct, frozen=True):
    """A build, "" for the shop, and how many entries of it stand in the log with stamps that are ahead."""

    build: str
    entries: int


class UnreadableBuild(Struct, frozen=True):
    """A build, "" for the shop, and how many intact entries of it are not of their form, and are left out."""

    build: str
    entries: int


class RecordsCondition(Struct, frozen=True):
    """What is known of the records' condition. Moments in ms.

    entries, photos: how many were checked in this pass over them. of: entries in the log. passed_ms: when the last
    pass ended, None before the first. file: what is wrong with the file itself, or "". failed: builds whose clocks
    cannot be worked out.
    """

    entries: int
    of: int
    photos: int
    passed_ms: int | None
    now_ms: int
    damaged: tuple[DamagedBuild, ...]
    damaged_photos: int
    file: str
    failed: tuple[str, ...]
    early: tuple[EarlyDevice, ...]
    ahead: tuple[AheadBuild, ...]
    unreadable: tuple[UnreadableBuild, ...]


class Redated(Struct, frozen=True):
    """How many entries were recorded again with the server's time."""

    entries: int


class RecipeLine(Struct, frozen=True):
    """One recipe in the list. errors, warnings: its number of findings of that grade.

    choices: what is asked when a build begins, with the defaults.
    """

    name: str
    title: str
    about: str
    errors: int
    warnings: int
    units: Literal["mm", "in"] = "mm"
    choices: tuple[Choice, ...] = ()


class Recipes(Struct, frozen=True):
    """All recipes, by name."""

    recipes: list[RecipeLine]


class RecipeText(Struct, frozen=True):
    """A recipe's text."""

    name: str
    text: str


class ToCheck(Struct, frozen=True):
    """A recipe's text to check."""

    text: Annotated[str, Meta(max_length=1_000_000)]


class CheckedRecipe(Struct, frozen=True):
    """The checker's findings, errors first."""

    findings: tuple[Finding, ...]


class NewBuild(Struct, frozen=True):
    """A build to start. id: chosen by the page, so that sending it twice starts one build.

    choices: answers where they are not the recipe's defaults, as texts, by name; for one piece by "B.width".
    """

    id: Annotated[str, Meta(pattern=UUID7)]
    recipe: Annotated[str, Meta(pattern=RECIPE_NAME)]
    pieces: Annotated[int, Meta(ge=1, le=26)]
    name: Annotated[str, Meta(min_length=1, max_length=120)]
    choices: Annotated[dict[ChoiceName, Annotated[str, Meta(max_length=400)]], Meta(max_length=500)] = {}


class BuildStarted(Struct, frozen=True):
    """A build that was started; its sheet reaches every phone with the next sync. codes: label code by part."""

    build: str
    name: str
    codes: dict[str, str]


class PairRequest(Struct, frozen=True):
    """A one-time pairing code, and the name for this device."""

    code: Annotated[str, Meta(max_length=40)]
    name: Annotated[str, Meta(max_length=120)]


class ThisDevice(Struct, frozen=True):
    """The asking device. local: the server serves only this machine, and the page chooses `device` itself."""

    device: str
    name: str
    local: bool


class DeviceLine(Struct, frozen=True):
    """A device in the list. Moments in ms. this: whether it is the asking one. aside: happenings in quarantine."""

    id: str
    name: str
    paired_ms: int
    seen_ms: int
    revoked_ms: int | None
    this: bool
    aside: int


class Devices(Struct, frozen=True):
    """All devices, revoked ones too."""

    devices: list[DeviceLine]


class PairingCode(Struct, frozen=True):
    """A code to pair one more device. address: the QR code's content. rows: its modules, "1" for dark."""

    code: str
    until_ms: int
    address: str
    rows: list[str]


class PhotoKept(Struct, frozen=True):
    """A photo that is on disk. bytes: its size."""

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
    RecordsCondition,
    Redated,
)
"""The structs from which the page's types are made. The page writes types with raw fields by hand."""
