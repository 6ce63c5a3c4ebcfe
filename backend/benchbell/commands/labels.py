"""`benchbell labels`: a build's labels as a PDF to print."""

import argparse
import socket
import sys
from pathlib import Path
from typing import Any

import msgspec

from benchbell.bench.book import Book
from benchbell.commands.data_folder import add_data_option, require_records
from benchbell.commands.help import examples
from benchbell.commands.output import STREAM, add_json_option, print_json, write_file
from benchbell.commands.progress import progress
from benchbell.findings import counted
from benchbell.labels.label import KINDS, Label, current_labels
from benchbell.labels.lettering import built_in, from_file
from benchbell.labels.messages import LabelNotes
from benchbell.labels.options import COLUMNS, ROWS, PrintOptions, chosen_labels, copies_of, layout_of
from benchbell.labels.paper import PAPERS
from benchbell.labels.pdf import labels_pdf
from benchbell.labels.printing import label_faces, label_notes
from benchbell.store.records import Records
from benchbell.store.sqlite_records import ask_records


def add_to(subparsers: Any) -> None:
    """Add the command."""
    labels = subparsers.add_parser(
        "labels",
        help="print a build's labels to a PDF",
        description="Write the labels of a build's parts and assemblies to a PDF, laid out for the printer's paper.",
        epilog=examples(
            "benchbell labels --build 'Hall bench' --out labels.pdf",
            "benchbell labels --build 'Hall bench' --paper A4 --rows 7 --columns 3 --first 5 --out labels.pdf",
            "benchbell labels --build 'Hall bench' --only A/leg-2 --out - > one.pdf",
        ),
    )
    labels.add_argument("--build", required=True, help="the build's name or id")
    labels.add_argument("--out", required=True, type=Path, help="the PDF to write; - for standard output")
    add_paper_options(labels.add_argument_group("paper"))
    labels.add_argument("--kind", action="append", default=[], metavar="KIND", help=f"{', '.join(KINDS)}; repeatable")
    labels.add_argument("--only", action="append", default=[], metavar="ID", help="one label by id or code; repeatable")
    labels.add_argument("--copies", type=int, default=1, help="copies of each label (%(default)s)")
    labels.add_argument("--host", help="where the page is served (this machine's name and port 8443)")
    labels.add_argument("--font", type=Path, help="a TrueType file with letters beyond western European ones")
    add_data_option(labels)
    add_json_option(labels)
    labels.set_defaults(run=run)


def add_paper_options(group: Any) -> None:
    """Add the options that divide the paper."""
    default = PrintOptions()
    papers = f"{', '.join(PAPERS)}, '100 mm x 150 mm' or 'roll 62 mm' (%(default)s)"
    group.add_argument("--paper", default=default.paper, help=papers)
    group.add_argument("--rows", type=int, help=f"labels down the page ({ROWS})")
    group.add_argument("--columns", type=int, help=f"labels across the page ({COLUMNS})")
    group.add_argument(
        "--size",
        default="",
        help="of a label, as '63.5 mm x 38 mm', instead of rows and columns; on a roll, its height",
    )
    group.add_argument("--margins", default=default.margins, help="left and top, as '7 mm x 15 mm' (%(default)s)")
    group.add_argument("--gaps", default=default.gaps, help="between labels, across and down (%(default)s)")
    group.add_argument("--first", type=int, default=1, help="first free label of a used page (%(default)s)")


def run(args: argparse.Namespace) -> int:
    """Write the PDF, then print how many labels it has and their findings.

    Raises Refused for a build or label that is not there, options that do not fit, and a file that cannot be written.
    """
    options = PrintOptions(
        args.paper, args.rows, args.columns, args.size, args.margins, args.gaps, first=args.first, copies=args.copies
    )
    title, labels = ask_records(require_records(args.data), lambda records: labels_of(records, args.build))
    with progress("Drawing labels"):
        notes = write(args, options, title, chosen_labels(labels, args.kind, args.only))
    stream = sys.stderr if args.out == STREAM else sys.stdout
    if args.json and args.out != STREAM:
        print_json({"file": str(args.out), **msgspec.structs.asdict(notes)})
        return 0
    for finding in notes.findings:
        print(f"{finding.grade}: {finding.what} {finding.next_step}", file=stream)
    print(f"{counted(notes.labels, 'label')} on {counted(notes.pages, 'page')}: {args.out}", file=stream)
    return 0


def write(args: argparse.Namespace, options: PrintOptions, title: str, labels: tuple[Label, ...]) -> LabelNotes:
    """Lay out the labels and write the PDF. Raises Refused when they do not fit or the file cannot be written."""
    layout = layout_of(options)
    lettering = from_file(args.font) if args.font else built_in()
    made = label_faces(labels, layout, args.host or this_machine(), lettering, copies_of(options, len(labels)))
    write_file(args.out, labels_pdf(title, made.faces, layout, lettering))
    return label_notes(made, layout)


def this_machine() -> str:
    """This machine's name on the workshop's network, with the server's default port: "bench.local:8443"."""
    name = socket.gethostname().split(".")[0]
    return f"{name}.local:8443"


async def labels_of(records: Records, name: str) -> tuple[str, tuple[Label, ...]]:
    """The name and all current labels of the build of that name or id. Raises Refused when there is no such build."""
    book = Book(await records.happenings_of(await records.build_named(name)))
    started = book.started()
    assert started is not None, "build_named finds only builds that have started"
    return started.name, current_labels(book)
