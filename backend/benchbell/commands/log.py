"""`benchbell log`: a build's log on the terminal, or as a file."""

import argparse
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import Any

from benchbell.buildlog.csv import operations_csv, story_csv
from benchbell.buildlog.learned import learned
from benchbell.buildlog.pdf import log_pdf, moment, span
from benchbell.buildlog.pictures import Pictures
from benchbell.buildlog.story import BuildLog, build_log
from benchbell.buildlog.titles import chosen_text
from benchbell.commands.data_folder import add_data_option
from benchbell.commands.output import json_text, write_file
from benchbell.findings import Refused
from benchbell.labels.lettering import built_in
from benchbell.store.build_book import book_of_build
from benchbell.store.photos import photo_to_print
from benchbell.store.records import Records
from benchbell.store.sqlite_records import ask_records


def add_to(subparsers: Any) -> None:
    """Add the command."""
    log = subparsers.add_parser(
        "log", help="print a build's log: what happened, with times, settings and sizes as built"
    )
    log.add_argument("build", help="the build's name or id")
    log.add_argument("--as", dest="form", choices=tuple(FORMS), default="text", help="how to write it (%(default)s)")
    log.add_argument("--json", dest="form", action="store_const", const="json", help="the same as --as json")
    log.add_argument("--out", type=Path, help="write it to this file")
    add_data_option(log)
    log.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print the log, or write it to a file.

    Raises Refused for a build that is not there, a PDF without `--out`, and a file that cannot be written.
    """
    written = FORMS[args.form](
        ask_records(args.data, lambda records: log_of(records, args.build)), partial(photo_to_print, args.data)
    )
    if args.out is None:
        if args.form == "pdf":
            raise Refused("A PDF does not go to the terminal.", "Add --out log.pdf.")
        print(written.decode(), end="")
        return 0
    write_file(args.out, written)
    return 0


async def log_of(records: Records, name: str) -> BuildLog:
    """The log of the build of that name or id. Raises Refused when there is no such build."""
    build = await records.build_named(name)
    log = build_log(build, await book_of_build(records, build), await records.device_names())
    assert log is not None, "build_named finds only builds that have started"
    return log


def as_text(log: BuildLog, _: Pictures) -> bytes:
    """The log as plain text."""
    return "".join(f"{line}\n" for line in lines_of(log)).encode()


def lines_of(log: BuildLog) -> Iterable[str]:
    """A line for each entry, then the clamp times and the operations that took longer or shorter than planned."""
    yield f"{log.name}: {log.title}, pieces {', '.join(log.pieces)}"
    yield from (f"  {chosen_text(choice)}" for choice in log.choices)
    for entry in log.entries:
        undone = "  (undone)" if entry.undone else ""
        yield f"  {moment(entry.ms, None)}  {entry.who}: {entry.text}{undone}"
    for op in log.operations:
        if op.planned_clamp_minutes is not None:
            yield f"{op.id}: {span(op.clamp_minutes)} in clamps, planned {span(op.planned_clamp_minutes)}"
    for lesson in learned(log):
        yield f"{lesson.title}: took {span(lesson.real_minutes)}, the recipe has {span(lesson.planned_minutes)}"


FORMS: dict[str, Callable[[BuildLog, Pictures], bytes]] = {
    "text": as_text,
    "json": lambda log, _: f"{json_text(log)}\n".encode(),
    "csv": lambda log, _: story_csv(log, None).encode(),
    "operations.csv": lambda log, _: operations_csv(log, None).encode(),
    "pdf": lambda log, pictures: log_pdf(log, None, built_in(), pictures),
}
"""By the name of a form, the function that writes a log in it."""
