"""A try on a real server counts what was taken out, rung too early, rung again and not rung, when that is planted."""

import sqlite3
from contextlib import closing

from speed.fault_kinds import trial as trials
from speed.fault_kinds.judgement import Due
from speed.fault_kinds.server import uptime_s
from speed.fault_kinds.trial import local


def test_planted_faults_are_all_found(tmp_path, monkeypatch):
    monkeypatch.setattr(trials, "RING_S", 0.2)
    with local(tmp_path, seconds=600) as trial:
        gone = trial.phone.note()
        early, _never = trial.phone.clamp(), trial.phone.clamp()
        trial.phone.deliver()
        trial.server.stop()
        with closing(sqlite3.connect(trial.server.data / "benchbell.db")) as db, db:
            db.execute("DELETE FROM happening WHERE id = ?", (gone,))
        trial.server.rung_file.write_text(f"1.0 {early}\n2.0 {early}\n", encoding="utf-8")
        trial.phone.due = dict.fromkeys(trial.phone.due, Due(uptime_s()))
        outcome = trial.judged()

    assert (1, 2, 1, 1) == (outcome.lost, outcome.early, outcome.missed, outcome.doubled)
