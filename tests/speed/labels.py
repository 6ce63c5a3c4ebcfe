"""Label figures, one `name: value` a line.

labels_pdf_ratio: 500 labels to PDF, over making their 500 QR matrices alone with the same library.
scan_read_rate: share of the degraded set that the page reads; scan_read_rate_zxing_cpp: that zxing-cpp reads;
scan_read_rate_of_zxing_cpp: that the page reads of what zxing-cpp reads.
scan_first_ms: from the opened camera, a label before it, to the first label read; scan_to_part_ms: from a label in
view to its part shown; scan_frame_p50_ms, scan_frame_p95_ms: from taking a frame to knowing what is in it. In
Chromium, 1280 × 720, the page's thread slowed four times (the reader's own thread cannot be slowed).
"""

import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

ROOT = Path(__file__).parents[2]
sys.path[:1] = [str(ROOT / "tests"), str(ROOT / "backend")]  # not this folder: its names are packages' there

import build_page
import zxingcpp
from benchbell.labels import qr
from benchbell.labels.label import Label
from benchbell.labels.lettering import built_in
from benchbell.labels.paper import PAPERS, Margins, by_count
from benchbell.labels.pdf import labels_pdf
from benchbell.labels.printing import label_faces, square_texts
from benchbell.recipe.label_code import new_code
from browser.conftest import NO_BROWSER, Server
from browser.film import View
from browser.scan_times import looks, slow_phone, to_part
from browser.stool import Stool
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
    return labels_pdf("500 labels", label_faces(LABELS, layout, HOST, built_in()).faces, layout, built_in())


def matrices() -> None:
    for label in LABELS:
        qr.modules(square_texts(label, HOST)[0], "H")


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


def scan_times() -> dict[str, float]:
    """The phone's figures, in ms: a real page, the film of a printed label for a camera."""
    build_page.write_types()
    build_page.install(for_tests=True)
    build_page.npm("run", "build", "--", "--logLevel", "error")
    with tempfile.TemporaryDirectory() as folder:
        server = Server(Path(folder))
        server.start()
        try:
            label = Stool(server.url).label("A/side-2")
            file = Path(folder, "camera.y4m")
            chromium = shutil.which("chromium")
            assert chromium, NO_BROWSER
            rounds = []
            for _ in range(3):
                with slow_phone(chromium, server, file, View(2), View(3, label)) as page:
                    rounds.append(to_part(page))
            with slow_phone(chromium, server, file, View(0.5), View(0.5, label)) as page:
                frames = sorted(looks(page, 200))
        finally:
            server.kill()
    return {
        "scan_first_ms": median(first for first, _ in rounds),
        "scan_to_part_ms": median(part for _, part in rounds),
        "scan_frame_p50_ms": frames[len(frames) // 2],
        "scan_frame_p95_ms": frames[len(frames) * 95 // 100],
    }


if __name__ == "__main__":
    print(f"labels_pdf_ratio: {pdf_ratio():.2f}")
    for name, rate in zip(("", "_zxing_cpp", "_of_zxing_cpp"), read_rates(), strict=True):
        print(f"scan_read_rate{name}: {rate:.3f}")
    for name, ms in scan_times().items():
        print(f"{name}: {ms:.1f}")
