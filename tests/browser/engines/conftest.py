"""The engines beside Chromium. Where one is not installed its tests are left out and said so, but never in CI."""

import os
import shutil
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from pathlib import Path
from typing import NamedTuple

import pytest
from browser.engines.firefox import firefox
from browser.engines.tab import Tab
from browser.engines.webkit import webkit


class Engine(NamedTuple):
    """How to start it, the programs it needs, and Debian's packages that have them."""

    start: Callable[[Path], AbstractContextManager[Tab]]
    programs: tuple[str, ...]
    packages: str

    def is_here(self, path: str | None = None) -> bool:
        """Whether all its programs are on this path; without one, the environment's."""
        return all(shutil.which(program, path=path) for program in self.programs)


ENGINES = {
    "WebKitGTK": Engine(webkit, ("WebKitWebDriver", "Xvfb"), "webkit2gtk-driver xvfb"),
    "Firefox": Engine(firefox, ("firefox-esr",), "firefox-esr"),
}

LEFT_OUT = pytest.StashKey[list[str]]()


def pytest_collection_modifyitems(config, items):
    """Leave out what cannot run here, unless all engines are wanted."""
    spared = left_out(os.environ)
    config.stash[LEFT_OUT] = [lacks(name) for name in spared]
    out = [item for item in items if engine_of(item) in spared]
    if out:
        config.hook.pytest_deselected(items=out)
        items[:] = [item for item in items if item not in out]


def left_out(environment: Mapping[str, str]) -> list[str]:
    """The engines that need not be tested there."""
    if environment.get("CI") or environment.get("BENCHBELL_ALL_ENGINES"):
        return []
    return [name for name, engine in ENGINES.items() if not engine.is_here(environment.get("PATH", ""))]


def engine_of(item) -> str | None:
    """The engine that a test runs in; none for the tests of other folders."""
    return item.callspec.params.get("engine") if "engine" in getattr(item, "fixturenames", ()) else None


def lacks(name: str) -> str:
    """What is missing and how to get it."""
    return f"No {name} here. Install it: apt-get install {ENGINES[name].packages} (as root), then run the tests again."


def pytest_terminal_summary(terminalreporter, config):
    """At the end, where it is read."""
    for words in config.stash.get(LEFT_OUT, []):
        terminalreporter.write_line(f"Not tested: {words}", yellow=True)


@pytest.fixture(params=ENGINES)
def engine(request) -> str:
    """The name of one engine after the other."""
    return request.param


@pytest.fixture
def tab(engine, tmp_path):
    """A page of its own in this engine."""
    assert ENGINES[engine].is_here(), lacks(engine)
    with ENGINES[engine].start(tmp_path) as tab:
        yield tab
