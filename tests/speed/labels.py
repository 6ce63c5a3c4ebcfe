"""Label figures, one `name: value` a line.

labels_pdf_ratio: 500 labels to PDF, over making their 500 QR matrices alone with the same library.
scan_read_rate: share of the degraded set that the page reads; scan_read_rate_zxing_cpp: that zxing-cpp reads;
scan_read_rate_of_zxing_cpp: that the page reads of what zxing-cpp reads.
"""

import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path[0] = str(Path(__file__).parents[1])  # this file's own name is a package's there

import zxingcpp
from benchbell.labels import qr
from benchbell.labels.label import Label
from benchbell.labels.lettering import built_in
from benchbell.labels.pdf import labels_pdf
from benchbell.labels.printing import held, printed
from benchbell.labels.sheet import PAPERS, Margins, by_count
from benchbell.recipe.code import new_code
from labels.dirt import pictures
from labels.page_reader import page_reader
from labels.sample import HOST

LABELS = [
    Label("part", f"A/leg-{n}", new_code(2654435761 * 13 * n % 2**35), f"Leg {n}", "A", "front left", "outside",
          ("top end meets Seat, front left corner", "A meets Stretcher 1", "B meets Stretcher 2"))
    for n in range(500)
]  # fmt: skip


def seconds(work: Callable[[], object]) -> float:
    """How long it takes, nothing remembered from before."""
    qr.version_of.cache_clear()
    start = perf_counter()
    work()
    return perf_counter() - start


def to_pdf() -> bytes:
    layout = by_count(PAPERS["A4"], 7, 3, Margins())
    return labels_pdf("500 labels", printed(LABELS, layout, HOST, built_in()).faces, layout, built_in())


def matrices() -> None:
    for label in LABELS:
        qr.modules(held(label, HOST)[0], "H")


def pdf_ratio() -> float:
    return median(seconds(to_pdf) / seconds(matrices) for _ in range(3))


def read_rates() -> tuple[float, float, float]:
    """Shares of the degraded set: read by the page, by zxing-cpp, and by the page of what zxing-cpp reads."""
    seen: list[tuple[bool, bool]] = []
    with page_reader() as reader:
        for picture in pictures(each=10, seed=2):
            found = zxingcpp.read_barcodes(picture.pixels, formats=zxingcpp.BarcodeFormat.QRCodeModel2)
            texts = (reader.texts(picture.pixels), [barcode.text for barcode in found])
            assert all(read in ([], [picture.text]) for read in texts), f"a wrong code was read: {texts}"
            seen.append((bool(texts[0]), bool(texts[1])))
    page, other, both = (sum(map(of, seen)) for of in (lambda s: s[0], lambda s: s[1], all))
    return page / len(seen), other / len(seen), both / other


if __name__ == "__main__":
    print(f"labels_pdf_ratio: {pdf_ratio():.2f}")
    for name, rate in zip(("", "_zxing_cpp", "_of_zxing_cpp"), read_rates(), strict=True):
        print(f"scan_read_rate{name}: {rate:.3f}")
