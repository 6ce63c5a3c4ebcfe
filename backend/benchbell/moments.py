"""Moments as dates. A wrong clock may have stamped anything; whatever it stamped can be shown."""

from datetime import UTC, datetime, tzinfo

LATEST_MS = 253_370_764_800_000
"""9999-01-01 in UTC: what is later cannot be told in every time zone."""


def date_of(ms: float, zone: tzinfo | None) -> datetime:
    """A moment in ms since 1970 as a date in this time zone, None for this machine's; at the latest LATEST_MS."""
    return datetime.fromtimestamp(min(max(ms, 0), LATEST_MS) / 1000, UTC).astimezone(zone)
