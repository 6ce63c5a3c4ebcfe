"""`benchbell labels`: a build's labels as a PDF to print."""

import argparse
import socket
from pathlib import Path
from typing import Any

import msgspec

from benchbell.bench.book import Book
from benchbell.commands.serve import data_folder
from benchbell.findings import Refused
from benchbell.labels.label import KINDS, Label, current_labels
from benchbell.labels.lettering import built_in, from_file
from benchbell.labels.messages import LabelsTold
from benchbell.labels.options import COLUMNS, ROWS, Asked, chosen, copies_of, layout_of
from benchbell.labels.paper import PAPERS
from benchbell.labels.pdf import labels_pdf
from benchbell.labels.printing import printed, told
from benchbell.store.records import Records
from benchbell.store.sqlite_records import ask_records


def add_to(subparsers: Any) -> None:
    """Add the command."""
    labels = subparsers.add_parser("labels", help="print a build's labels to a PDF")
    labels.add_argument("--build", required=True, help="the build's name or id")
    labels.add_argument("--out", required=True, type=Path, help="the PDF to write")
    add_paper(labels.add_argument_group("paper"))
    labels.add_argument("--kind", action="append", default=[], metavar="KIND", help=f"{', '.join(KINDS)}; repeatable")
    labels.add_argument("--only", action="append", default=[], metavar="ID", help="one by id or code; repeatable")
    labels.add_argument("--copies", type=int, default=1, help="of each label (%(default)s)")
    labels.add_argument("--host", help="where the page is served (this machine's name and port 8443)")
    labels.add_argument("--font", type=Path, help="a TrueType file with letters beyond western European ones")
    labels.add_argument("--data", type=Path, default=data_folder(), help="folder of the records (%(default)s)")
    labels.add_argument("--json", action="store_true", help="print one JSON object")
    labels.set_defaults(run=run)


def add_paper(group: Any) -> None:
    """How the paper is divided."""
    usual = Asked()
    papers = f"{', '.join(PAPERS)}, '100 mm x 150 mm' or 'roll 62 mm' (%(default)s)"
    group.add_argument("--paper", default=usual.paper, help=papers)
    group.add_argument("--rows", type=int, help=f"labels down the sheet ({ROWS})")
    group.add_argument("--columns", type=int, help=f"labels across the sheet ({COLUMNS})")
    group.add_argument("--size", default="", help="of a label, '63.5 mm x 38 mm', instead; of a roll, its height")
    group.add_argument("--margins", default=usual.margins, help="left and top, as '7 mm x 15 mm' (%(default)s)")
    group.add_argument("--gaps", default=usual.gaps, help="between labels, across and down (%(default)s)")
    group.add_argument("--first", type=int, default=1, help="first free label of a used sheet (%(default)s)")


def run(args: argparse.Namespace) -> int:
    """Write the PDF and say what is worth knowing."""
    asked = Asked(
        args.paper, args.rows, args.columns, args.size, args.margins, args.gaps, first=args.first, copies=args.copies
    )
    title, labels = ask_records(args.data, lambda records: labels_of(records, args.build))
    done = write(args, asked, title, chosen(labels, args.kind, args.only))
    if args.json:
        print(msgspec.json.encode({"file": str(args.out), **msgspec.structs.asdict(done)}).decode())
        return 0
    for finding in done.findings:
        print(f"{finding.grade}: {finding.what} {finding.next_step}")
    print(f"{done.labels} labels on {done.pages} pages: {args.out}")
    return 0


def write(args: argparse.Namespace, asked: Asked, title: str, labels: tuple[Label, ...]) -> LabelsTold:
    """Lay the labels out and write the file."""
    layout = layout_of(asked)
    lettering = from_file(args.font) if args.font else built_in()
    done = printed(labels, layout, args.host or this_machine(), lettering, copies_of(asked, len(labels)))
    try:
        args.out.write_bytes(labels_pdf(title, done.faces, layout, lettering))
    except OSError as error:
        raise Refused(f"{args.out} cannot be written: {error.strerror}.", "Name another file.") from error
    return told(done, layout)


def this_machine() -> str:
    """The machine's name on the workshop's network, with the server's usual port."""
    name = socket.gethostname().split(".")[0]
    return f"{name}.local:8443"


async def labels_of(records: Records, name: str) -> tuple[str, tuple[Label, ...]]:
    """The build's name, and all its labels as of now. Raises Refused."""
    book = Book(await records.happenings_of(await records.build_named(name)))
    started = book.started()
    assert started is not None, "a build that is named has begun"
    return started.name, current_labels(book)
