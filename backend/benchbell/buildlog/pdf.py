"""A build's log as a PDF to keep with the piece."""

from collections.abc import Callable, Sequence
from datetime import tzinfo

from fpdf import FPDF
from fpdf.fonts import FontFace

from benchbell.bench.sentences import degrees
from benchbell.buildlog.pictures import WITH_HEADING_MM, Pictures, photo_pages
from benchbell.buildlog.story import BuildLog, OperationLog, SetupLog
from benchbell.buildlog.titles import chosen_text
from benchbell.labels.lettering import ENCODING, Lettering
from benchbell.moments import date_of
from benchbell.recipe.measure import TIME, Units, dim_named, show

NOT_RECORDED = "not recorded"
CAUTION = (
    "A memory aid, not training. The tool maker's manual, the glue's label and local codes come first. "
    "This log shows what was recorded; it does not say that a cut or a joint is safe."
)
MARGIN_MM = 15


class LogPdf(FPDF):
    """A4 pages with their number at the foot."""

    def footer(self) -> None:
        """Write the page's number and the number of pages."""
        self.set_y(-12)
        self.set_font("helvetica", "", 8)
        self.cell(0, 5, f"{self.page_no()} / {{nb}}", align="C")


def log_pdf(log: BuildLog, zone: tzinfo | None, lettering: Lettering, pictures: Pictures) -> bytes:
    """The log as a PDF file: operations, setups, sizes, spoiled parts, then all entries and the photos.

    zone: the time zone of all times; None for this machine's. pictures: gives a photo's bytes by its SHA-256.
    """
    pdf = LogPdf(format="A4")
    pdf.core_fonts_encoding = ENCODING
    pdf.set_margin(MARGIN_MM)
    pdf.set_auto_page_break(True, MARGIN_MM)
    pdf.set_title(log.name)
    pdf.add_page()
    say = lettering.writable
    heading(pdf, say(log.name), 18)
    pieces = ", ".join(log.pieces)
    text(pdf, say(f"{log.title}, pieces {pieces}. Started {moment(log.started_ms, zone)}, {ended(log, zone)}."))
    for choice in log.choices:
        text(pdf, say(chosen_text(choice)))
    text(pdf, say(CAUTION))
    rows(pdf, say, "Operations", OPERATION_HEADS, [operation_row(op, zone) for op in log.operations])
    rows(pdf, say, "Setups as set", SETUP_HEADS, [setup_row(setup, zone, log) for setup in log.setups])
    rows(pdf, say, "Sizes as built", SIZE_HEADS, size_rows(log))
    lost = [[one.part, moment(one.ms, zone), one.reason, one.remade_code or "not made again"] for one in log.lost]
    rows(pdf, say, "Spoiled and made again", ("Part", "When", "Why", "New label"), lost)
    story = [[moment(e.ms, zone), e.who, e.text + (" (undone)" if e.undone else "")] for e in log.entries]
    rows(pdf, say, "What happened", ("When", "Who", "What"), story, (32, 28, 120))
    if log.photos:
        if pdf.will_page_break(WITH_HEADING_MM):
            pdf.add_page()
        pdf.ln(3)
        heading(pdf, "Photos", 12)
        captions = tuple(f"{one.shows}, {moment(one.ms, zone)}, {one.who}." for one in log.photos)
        photo_pages(pdf, log.photos, captions, say, pictures)
    return bytes(pdf.output())


OPERATION_HEADS = ("Operation", "Status", "Began", "Planned", "Hands", "In clamps", "Air")
SETUP_HEADS = ("Setup", "Station", "When", "As set (planned)", "Proved")
SIZE_HEADS = ("Size", "Piece", "Drawing", "As built", "Differs")


def ended(log: BuildLog, zone: tzinfo | None) -> str:
    """When the build was finished, or that it is not."""
    return "not finished yet" if log.finished_ms is None else f"finished {moment(log.finished_ms, zone)}"


def operation_row(op: OperationLog, zone: tzinfo | None) -> list[str]:
    """The cells of an operation's row."""
    clamps = span(op.clamp_minutes) if op.planned_clamp_minutes is not None else ""
    air = "" if not op.glue else NOT_RECORDED if op.celsius is None else degrees(op.celsius)
    title = f"{op.title}, {op.piece}" if op.piece else op.title
    began = NOT_RECORDED if op.began_ms is None else moment(op.began_ms, zone)
    return [title, op.status, began, span(op.planned_minutes), span(op.hands_minutes), clamps, air]


def setup_row(setup: SetupLog, zone: tzinfo | None, log: BuildLog) -> list[str]:
    """The cells of a setup's row."""
    units: Units = "in" if log.units == "in" else "mm"
    values = []
    for planned in setup.planned:
        dim = dim_named(planned.dim)
        real = setup.values.get(planned.name)
        shown = NOT_RECORDED if real is None else show(real, dim, units)
        values.append(f"{planned.name} {shown} ({show(planned.plan, dim, units)})")
    return [setup.title, setup.station, moment(setup.ms, zone), ", ".join(values), "yes" if setup.proved else "no"]


def size_rows(log: BuildLog) -> list[list[str]]:
    """The rows of the measured sizes."""
    units: Units = "in" if log.units == "in" else "mm"
    return [
        [
            size.name,
            size.piece,
            show(size.plan, dim_named(size.dim), units),
            show(size.as_built, dim_named(size.dim), units),
            show(size.as_built - size.plan, dim_named(size.dim), units),
        ]
        for size in log.sizes
    ]


def heading(pdf: FPDF, words: str, points: float) -> None:
    """Write a heading. points: letter size."""
    pdf.set_font("helvetica", "B", points)
    pdf.multi_cell(0, points * 0.5, words, new_x="LMARGIN", new_y="NEXT")


def text(pdf: FPDF, words: str) -> None:
    """Write a paragraph."""
    pdf.set_font("helvetica", "", 9)
    pdf.multi_cell(0, 4.5, words, new_x="LMARGIN", new_y="NEXT")
    pdf.ln(2)


def rows(
    pdf: FPDF,
    say: Callable[[str], str],
    title: str,
    heads: Sequence[str],
    cells: Sequence[Sequence[str]],
    widths: tuple[int, ...] | None = None,
) -> None:
    """Write a table with its heading; nothing when it has no rows. widths: of the columns, as shares."""
    if not cells:
        return
    pdf.ln(3)
    heading(pdf, title, 12)
    pdf.set_font("helvetica", "", 8)
    with pdf.table(col_widths=widths, line_height=4, headings_style=FontFace(emphasis="BOLD")) as table:
        table.row([say(head) for head in heads])
        for row in cells:
            table.row([say(cell) for cell in row])


def moment(ms: int, zone: tzinfo | None) -> str:
    """Milliseconds since 1970 as a date and time: 2026-12-01 08:00."""
    return f"{date_of(ms, zone):%Y-%m-%d %H:%M}"


def span(minutes: float | None) -> str:
    """Minutes as text such as "1 h 30 min"; NOT_RECORDED for None."""
    return NOT_RECORDED if minutes is None else show(minutes, TIME, "mm")
