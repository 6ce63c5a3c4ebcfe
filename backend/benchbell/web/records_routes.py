"""The records' condition, for the Shop screen, and what a person can do about it."""

from collections import Counter

from litestar import get, post
from litestar.di import NamedDependency as Given

from benchbell.store.record_types import DamagedEntry
from benchbell.web.errors import REFUSALS
from benchbell.web.messages import AheadBuild, DamagedBuild, EarlyDevice, RecordsCondition, Redated, UnreadableBuild
from benchbell.web.runtime import ShopRuntime


@get("/records", responses=REFUSALS, summary="The records' condition")
async def records_condition(shop: Given[ShopRuntime]) -> RecordsCondition:
    """What checking found: damaged entries and photos, and stamps that are ahead. Raises StoreError."""
    found = shop.scrubber.found
    early = await shop.records.early_counts()
    return RecordsCondition(
        entries=found.entries,
        of=await shop.records.newest_position(),
        photos=found.photos,
        passed_ms=found.passed_ms,
        now_ms=shop.settings.clock(),
        damaged=damaged_builds(await shop.records.damaged_entries()),
        damaged_photos=len(found.damaged_photos),
        file=found.file,
        failed=tuple(sorted(shop.clock_tracker.builds.failed)),
        early=tuple(EarlyDevice(device, many, latest) for device, (many, latest) in sorted(early.items())),
        ahead=tuple(AheadBuild(build, many) for build, many in sorted(found.ahead_by_build().items())),
        unreadable=tuple(UnreadableBuild(build, many) for build, many in sorted(found.unreadable.items())),
    )


def damaged_builds(damaged: tuple[DamagedEntry, ...]) -> tuple[DamagedBuild, ...]:
    """Damaged entries, counted by build."""
    counts = Counter(one.build for one in damaged)
    begun = {one.build for one in damaged if one.kind == "started"}
    return tuple(DamagedBuild(build, many, build in begun) for build, many in sorted(counts.items()))


@post("/records/redate", status_code=200, responses=REFUSALS, summary="Record again what is stamped ahead, as of now")
async def redate(shop: Given[ShopRuntime]) -> Redated:
    """For when the server's clock is right and a device's was not. Raises StoreError."""
    await shop.server_clock.lower_floor()
    many = await shop.records.redate(shop.server_clock.when(), shop.latest_stamp(), shop.settings.random_bytes)
    shop.listeners.announce(await shop.records.newest_position())
    await shop.scrubber.check_entries(0)
    return Redated(many)


RECORDS_ROUTES = (records_condition, redate)
