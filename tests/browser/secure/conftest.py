"""A server on the workshop's network and phones that trust its authority."""

import os
from contextlib import contextmanager

import pytest
from browser.conftest import PATIENCE, PHONE, QUIET
from browser.secure.shop import Shop
from browser.secure.trust import trusting
from playwright.sync_api import sync_playwright

CAMERA = ["--use-fake-device-for-media-stream"]
BY_NAME = ["--host-resolver-rules=MAP *.local 127.0.0.1"]
"""Stands in for multicast DNS, which a phone asks."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory, page_folder):
    """A running server with records of its own, that no device is paired with at first."""
    shop = Shop(tmp_path_factory.mktemp("records"))
    shop.start()
    yield shop
    shop.kill()


@pytest.fixture
def phone_with(chromium, tmp_path):
    """Opens a phone whose owner trusts this authority, or none; it keeps what it stores, as a phone does."""

    @contextmanager
    def opened(authority: bytes | None):
        home = tmp_path / ("trusting" if authority else "strange")
        trusting(home / ".pki/nssdb", authority)
        with sync_playwright() as playwright:
            context = playwright.chromium.launch_persistent_context(
                home / "profile",
                executable_path=chromium,
                args=[*QUIET, *CAMERA, *BY_NAME],
                env={**os.environ, "HOME": str(home)},
                viewport=PHONE,
                has_touch=True,
                reduced_motion="reduce",
            )
            context.set_default_timeout(PATIENCE * 1000)
            yield context.pages[0]
            context.close()

    return opened


@pytest.fixture
def phone(phone_with, shop):
    """A phone that trusts the workshop's authority, not paired, with nothing allowed or refused yet."""
    with phone_with(shop.authority()) as page:
        yield page
