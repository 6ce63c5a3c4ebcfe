"""Certificates that a browser trusts: a database of its own in a home of its own, nothing global touched."""

import os
import shutil
import subprocess
from pathlib import Path

NO_CERTUTIL = "No certutil here. Install it: apt-get install libnss3-tools (as root), then run the tests again."


def certutil() -> str:
    """Where the program is that keeps such a database; installs it where there is none and this may."""
    found = shutil.which("certutil")
    if not found and os.geteuid() == 0:
        for order in (["update"], ["install", "-y", "--no-install-recommends", "libnss3-tools"]):
            subprocess.run(["apt-get", "-q", *order], check=False, stdin=subprocess.DEVNULL)
        found = shutil.which("certutil")
    assert found, NO_CERTUTIL
    return found


def trusting(database: Path, authority: bytes | None) -> None:
    """A new database that trusts this authority for websites; nobody beyond the usual when there is none."""
    database.mkdir(parents=True)
    where = ("-d", f"sql:{database}")
    run(certutil(), *where, "-N", "--empty-password")
    if authority:
        file = database / "authority.pem"
        file.write_bytes(authority)
        run(certutil(), *where, "-A", "-t", "C,,", "-n", "workshop", "-i", str(file))


def run(*command: str) -> None:
    """Run it; its own words when it fails."""
    done = subprocess.run(command, capture_output=True, text=True, stdin=subprocess.DEVNULL)
    assert done.returncode == 0, f"{command}: {done.stderr}"
