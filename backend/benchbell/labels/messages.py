"""What the maker is told before labels are printed."""

from msgspec import Struct

from benchbell.findings import Finding


class LabelsTold(Struct, frozen=True):
    """How many labels on how many pages, and what is worth knowing about them."""

    labels: int
    pages: int
    findings: tuple[Finding, ...]
