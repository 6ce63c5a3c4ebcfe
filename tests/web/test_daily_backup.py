"""The server's own backups, and a rehearsal from the command line."""

import json

from alerts.watched_shop import wait_until
from benchbell.durations import DAY_MS, HOUR_MS
from benchbell.store.backup_folder import NOTE, dated
from benchbell.store.sqlite_records import ask_records
from benchbell.web.daily_backup import back_up_if_due
from ports import free_port
from scene import NOON, PHONE, bodies, settings_in
from web.running import command, serving


def test_the_server_backs_up_once_a_day_and_the_backup_can_be_rehearsed(tmp_path):
    port, folder, data = free_port(), tmp_path / "backups", tmp_path / "data"
    words = ("--local", "--demo", "--port", port, "--backup-to", folder, "--keep", 2)
    folder.mkdir()
    for _ in range(2):
        with serving(tmp_path, *words, url=f"http://127.0.0.1:{port}"):
            wait_until(lambda: (data / NOTE).exists())  # written when the backup is whole
            rehearsed = command("backup", "--rehearse", "--data", data)
            listed = json.loads(command("backup", "--rehearse", folder, "--json", "--data", data).stdout)
    made = list(folder.iterdir())

    assert 1 == len(made), "the second start is on the same day"
    assert (0, 2) == (rehearsed.returncode, len(rehearsed.stdout.splitlines()))
    assert rehearsed.stdout.startswith(f"Restored for a trial and opened: {listed['happenings']} happenings, ")
    assert rehearsed.stdout.endswith("All of it is in the records as it was; 0 happenings came since.\n")
    assert (str(made[0]), 0) == (listed["file"], listed["different"])


def test_a_day_later_the_next_one_is_made_and_the_oldest_goes(tmp_path):
    folder = tmp_path / "backups"
    folder.mkdir()
    settings = settings_in(tmp_path, backup_to=folder, keep_backups=2)
    ask_records(settings.data, lambda records: records.take(PHONE, bodies(1, 3)))
    waits = []
    for hours in (0, 1, 23, 24, 48):
        settings.clock.ms = NOON + hours * HOUR_MS
        waits.append(back_up_if_due(settings, folder))

    assert [HOUR_MS] * 5 == waits
    assert {dated(NOON + DAY_MS), dated(NOON + 2 * DAY_MS)} == {one.name for one in folder.iterdir()}


def test_a_folder_that_is_missing_is_said_and_the_server_goes_on(tmp_path):
    port = free_port()
    words = ("--local", "--port", port, "--backup-to", tmp_path / "usb")
    with serving(tmp_path, *words, url=f"http://127.0.0.1:{port}") as process:
        wait_until(lambda: "backup failed" in process.out.read_text())
        printed = process.out.read_text()

    assert printed.startswith(f"There are no backups until {tmp_path / 'usb'} is there. Plug in its disk, or make")
    assert f"The folder of backups {tmp_path / 'usb'} is not there." in printed
    assert "Traceback" not in printed


def test_what_does_not_fit_together_is_said(tmp_path):
    data = tmp_path / "data"
    ask_records(data, lambda records: records.newest_position())
    said = [
        command(words[0], "--data", data, *words[1:]).stderr
        for words in (
            ("backup",),
            ("backup", tmp_path / "copy.zip", "--keep", 3),
            ("backup", "--rehearse"),
            ("serve", "--backup-to", data / "backups"),
            ("serve", "--backup-to", tmp_path, "--keep", 0),
            ("restore", tmp_path / "none.zip", "--data", tmp_path / "back"),
        )
    ]

    assert [
        "benchbell backup needs a place.\nAdd a file to write, or a folder for dated backups.\n",
        f"--keep 3 does not fit {tmp_path / 'copy.zip'}.\nGive a folder, and keep 1 or more.\n",
        f"No backup of {data} was made yet.\nMake one: benchbell backup FILE.\n",
        f"{data / 'backups'} is inside the data folder {data}.\nChoose a place outside it, best on another disk.\n",
        "--keep 0 keeps no backup.\nKeep 1 or more.\n",
        f"{tmp_path / 'none.zip'} cannot be read (No such file or directory).\nName a backup that is there.\n",
    ] == said
