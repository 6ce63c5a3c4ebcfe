"""The notes on labels that the maker reads before printing."""

from msgspec import Struct

from benchbell.findings import Finding


class LabelNotes(Struct, frozen=True):
    """How many labels on how many pages, and the findings about them."""

    labels: int
    pages: int
    findings: tuple[Finding, ...]
