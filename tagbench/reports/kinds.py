"""The reports there are, and writing one in the form its file name asks for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from labels.output.files import write_pages
from tagbench.book.outside import write_file
from tagbench.errors import BadInput
from tagbench.reports import (
    away_sheet,
    book_sheet,
    build_sheet,
    contents_sheet,
    count_sheet,
    flags_sheet,
    inserts_sheet,
    large_sheet,
    order_sheet,
    part_sheet,
    settings_sheet,
    wants_sheet,
    wires_sheet,
)
from tagbench.reports.page import render
from tagbench.reports.paper.blocks import Sheet
from tagbench.reports.paper.layout import paginate
from tagbench.reports.paper.page_maker import DOTS_PER_MM
from tagbench.reports.paper.plain import plain_lines
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.table import csv_text

FORMS = (".txt", ".csv", ".html", ".pdf")
"""The endings of the files that can be written."""
PICTURED = (".html", ".pdf")
"""Those that can hold pictures."""


@dataclass(frozen=True, slots=True)
class ReportKind:
    """One kind of report: its words, and what it says. PDF and HTML follow from its sheet."""

    title: str
    """What stands on the sheet and on the card of the screens: `Build sheet`."""
    says: str
    """What it is, for the help."""
    sheet: Callable[[ReportRequest], Sheet]
    """What stands on it, as blocks."""
    rows: Callable[[ReportRequest], Iterator[ReportRow]]
    """Lines of CSV, the first one the names of the columns."""
    text: Callable[[ReportRequest], Iterator[str]] | None = None
    """Plain lines, where those of the blocks will not do."""
    in_steps: bool = False
    """Whether it can be cut after so many steps."""
    about: str = ""
    """What it may be about, for the help and the form; empty when it is always about all."""
    needs_about: bool = False
    """Whether it must be said what it is about."""


KINDS: Mapping[str, ReportKind] = MappingProxyType(
    {
        "build": ReportKind(
            "Build sheet",
            "every step that is left, in order",
            build_sheet.sheet,
            build_sheet.rows,
            build_sheet.text,
            in_steps=True,
        ),
        "count": ReportKind(
            "Count sheet",
            "nothing missing, nothing left over",
            count_sheet.sheet,
            count_sheet.rows,
            count_sheet.text,
        ),
        "settings": ReportKind(
            "Settings sheet",
            "adjustments and their ranges",
            settings_sheet.sheet,
            settings_sheet.rows,
            settings_sheet.text,
        ),
        "wants": ReportKind(
            "Shop list",
            "what is to be bought",
            wants_sheet.sheet,
            wants_sheet.rows,
            wants_sheet.text,
        ),
        "away": ReportKind(
            "Packing lists",
            "what is with someone else, by size and bag",
            away_sheet.sheet,
            away_sheet.rows,
            away_sheet.text,
        ),
        "wires": ReportKind(
            "Wires",
            "pins and colours of every connector",
            wires_sheet.sheet,
            wires_sheet.rows,
            wires_sheet.text,
        ),
        "book": ReportKind(
            "Whole book",
            "every part with all that is known",
            book_sheet.sheet,
            book_sheet.rows,
            book_sheet.text,
        ),
        "large": ReportKind(
            "Large build sheet",
            "the steps in large type, for the wall",
            large_sheet.sheet,
            build_sheet.rows,
            in_steps=True,
        ),
        "order": ReportKind(
            "Order sheet",
            "the order in which an assembly goes on, with arrows for what covers what",
            order_sheet.sheet,
            order_sheet.rows,
            about="assemblies, such as “Front wheel / Brake”",
        ),
        "part": ReportKind(
            "Part sheet",
            "one part a page, with its picture",
            part_sheet.sheet,
            part_sheet.rows,
            about="codes of parts",
            needs_about=True,
        ),
        "contents": ReportKind(
            "Contents",
            "what is in a box or on a shelf, with its tag",
            contents_sheet.sheet,
            contents_sheet.rows,
            about="bins by code or name",
        ),
        "inserts": ReportKind(
            "Bag inserts",
            "an A6 page for each bag",
            inserts_sheet.sheet,
            inserts_sheet.rows,
            about="bins or parts by code or name",
        ),
        "flags": ReportKind(
            "Flag labels",
            "strips that fold round a wire or hose, the same code at both ends",
            flags_sheet.sheet,
            flags_sheet.rows,
            about="codes of parts",
            needs_about=True,
        ),
    }
)
"""Name → report: the one list of them, for commands and screens."""


def report_text(kind: str, form: str, request: ReportRequest) -> str:
    """A report in one of `FORMS`. Raises BadInput for an unknown kind or form."""
    if kind not in KINDS:
        raise BadInput(f"There is no report “{kind}”; there are {', '.join(KINDS)}.")
    check_about(kind, request.about)
    entry = KINDS[kind]
    if form == ".html":
        return render(entry.sheet(request), request)
    if form == ".csv":
        return csv_text(entry.rows(request))
    if form == ".pdf":
        raise BadInput("A PDF is written to a file, not shown as text.")
    if form == ".txt":
        lines = entry.text(request) if entry.text else plain_lines(entry.sheet(request))
        return "\n".join(lines) + "\n"
    raise BadInput(f"“{form}” is not a report format; end the file name with {', '.join(FORMS)}.")


def write_report(kind: str, target: Path, request: ReportRequest) -> None:
    """Writes a report in the form that the ending of `target` names.

    CSV begins with the mark of UTF-8, so that spreadsheets read it rightly. A file that was there
    is replaced only once the new one is whole.
    """
    if target.suffix.casefold() == ".pdf" and kind in KINDS:
        check_about(kind, request.about)
        sheet = KINDS[kind].sheet(request)
        pages = paginate(sheet, request.paper, request.address)
        write_pages(pages, len(pages), target, DOTS_PER_MM, title=sheet.title)
        return
    text = report_text(kind, target.suffix.casefold(), request)
    encoding = "utf-8-sig" if target.suffix.casefold() == ".csv" else "utf-8"
    write_file(target, text.encode(encoding))


def check_about(kind: str, about: tuple[str, ...]) -> None:
    """Refuses a report that must be told what it is about and is not, or the other way round."""
    entry = KINDS[kind]
    if entry.needs_about and not about:
        raise BadInput(f"Say what report {kind} is about: {entry.about}.")
    if about and not entry.about:
        raise BadInput(f"Report {kind} is about the whole machine; name nothing more.")
