"""How fast the bench is told from its happenings, one `name: value` a line; a build of 300 operations.

fold_20k_ms, phone_fold_20k_ms: 20,000 happenings folded from nothing.
fold_next_ms, phone_fold_next_ms: one more, until the bench is told anew; as often faster as slower.
fold_next_p95_ms, phone_fold_next_p95_ms: 95 of 100 are faster than this.
phone_resize_ms: a size measured, and every size, part and setup of a 300-operation build reckoned anew (bedside
table, four pieces).
phone_answer_next_ms: the same as phone_fold_next_ms, until clocks, rings and advice are told too.
In Python here; on the phone in Chromium, slowed four times.
"""

import json
import sys
import tempfile
from pathlib import Path
from statistics import median
from time import perf_counter

ROOT = Path(__file__).parents[2]
sys.path[:1] = [str(ROOT / "tests"), str(ROOT / "backend")]  # not this folder: its names are packages' there

import build_page
import msgspec
from benchbell.bench.book import Book
from benchbell.bench.state import bench_of
from benchbell.recipe.sheet import Sheet
from browser.conftest import NO_BROWSER
from playwright.sync_api import sync_playwright
from shipped import FOLDER, compile_file
from speed.long_build import long_history, long_sheet
from strategies import happenings_of

MANY, MORE = 20_000, 200
SLOWED = 4
MEASURED = "upper_width"
QUIET = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync"]


def written() -> list[dict]:
    """The build's beginning, and the history."""
    sheet = long_sheet()
    beginning = {"kind": "started", "name": "", "sheet": msgspec.to_builtins(sheet), "recipe": "", "codes": {}}
    first = {"id": "00000000-0000-7000-7fff-000000000000", "n": 1, "about": [], "build": "long", "what": beginning}
    at = {"ms": 1_600_000_000_000, "counter": 0, "device": "0" * 16}
    return [{**first, "at": at}, *long_history(sheet, MANY + MORE)]


def furniture() -> Sheet:
    """A real build of 300 operations."""
    return compile_file(FOLDER / "bedside-table.toml", 4)


def ms_of(work) -> float:
    start = perf_counter()
    work()
    return (perf_counter() - start) * 1000


def spread(name: str, times: list[float]) -> dict[str, float]:
    """The middle, and what 95 of 100 are below."""
    return {f"{name}_ms": median(times), f"{name}_p95_ms": sorted(times)[int(len(times) * 0.95)]}


def server_figures(history: list[dict]) -> dict[str, float]:
    happenings, book = happenings_of(history), Book()

    def fold() -> None:
        for h in happenings[:-MORE]:
            book.add(h)
        bench_of(book)

    many = ms_of(fold)
    next_ones = [ms_of(lambda h=h: (book.add(h), bench_of(book))) for h in happenings[-MORE:]]
    return {"fold_20k_ms": many, **spread("fold_next", next_ones)}


def bundle(folder: Path) -> str:
    """The page's bench and what measures it, as one script."""
    options = ["--logLevel", "warn", "--outDir", str(folder), "--emptyOutDir"]
    build_page.install(for_tests=True)
    build_page.npm(
        "exec", "--", "vite", "build", "--config", str(Path(__file__).with_name("phone_fold.vite.mts")), *options
    )
    return next(folder.glob("*.js")).read_text(encoding="utf-8")


def phone_figures(history: list[dict]) -> dict[str, float]:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        script = bundle(Path(folder))
        browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=QUIET)
        page = browser.new_page()
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
        page.add_script_tag(content=script)
        times = page.evaluate(
            "([text, more]) => phoneFold.measure(JSON.parse(text), more)", [json.dumps(history), MORE]
        )
        sheet = msgspec.json.encode(furniture()).decode()
        resized = page.evaluate("([text, size]) => phoneFold.resized(JSON.parse(text), size, 60)", [sheet, MEASURED])
        browser.close()
    return {
        "phone_fold_20k_ms": times["many"],
        **spread("phone_fold_next", times["next"]),
        "phone_answer_next_ms": median(times["answer"]),
        **spread("phone_resize", resized),
    }


def main() -> None:
    history = written()
    for name, value in {**server_figures(history), **phone_figures(history)}.items():
        print(f"{name}: {value:.2f}")


if __name__ == "__main__":
    assert Path("/usr/bin/chromium").exists(), NO_BROWSER
    main()
