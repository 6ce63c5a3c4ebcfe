"""Scanning on a device without a camera, in the other engines: a clear sentence, and the way that is left."""

from browser.engines.tab import sees


def test_a_device_without_a_camera_says_so_and_what_to_do(tab, server):
    tab.open(f"{server.url}/scan")

    sees(tab, "main", "This device has no camera that the browser can use.")
    sees(tab, "main", "Or type the code beside the square.")
