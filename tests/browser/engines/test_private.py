"""A private window, where the browser lets a page know: it says on every screen that nothing will be kept."""

import pytest
from browser.conftest import until
from browser.engines.conftest import ENGINES, lacks
from browser.engines.firefox import PRIVATE, firefox
from browser.engines.tab import sees, texts


@pytest.mark.parametrize("engine", ["Firefox"], indirect=True)
def test_a_private_window_is_told_that_it_keeps_nothing(engine, server, tmp_path):
    assert ENGINES[engine].is_here(), lacks(engine)
    with firefox(tmp_path, PRIVATE) as tab:
        tab.open(f"{server.url}/shop")

        sees(tab, "[role=alert]", "This window is private: it keeps nothing once it is closed.")
        sees(tab, ".row-words", "Keeps nothing once this private window is closed.")


@pytest.mark.parametrize("engine", ["Firefox"], indirect=True)
def test_a_usual_window_is_not(tab, server):
    tab.open(f"{server.url}/shop")
    until(lambda: any("may throw it away" in text for text in texts(tab, ".row-words")), "it says what it keeps")

    assert [] == [text for text in texts(tab, "[role=alert]") if text]
