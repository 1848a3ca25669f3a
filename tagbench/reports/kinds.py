"""The reports there are, and writing one in the form its file name asks for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Protocol

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
from tagbench.reports.paper.blocks import Sheet
from tagbench.reports.paper.sheet_report import SheetReport, write_pdf
from tagbench.reports.request import ReportRequest, Row
from tagbench.rules.table import csv_text

FORMS = (".txt", ".csv", ".html", ".pdf")
"""The endings of the files that can be written."""
PICTURED = (".html", ".pdf")
"""Those that can hold pictures."""


class ReportForms(Protocol):
    """What the module of a report has: its forms."""

    def text(self, request: ReportRequest) -> Iterator[str]:
        """Plain lines."""

    def rows(self, request: ReportRequest) -> Iterator[Row]:
        """Lines of CSV, the first one the names of the columns."""

    def page(self, request: ReportRequest) -> str:
        """A self-contained HTML page."""

    def sheet(self, request: ReportRequest) -> Sheet:
        """What stands on the sheets of paper, for PDF."""


@dataclass(frozen=True, slots=True)
class ReportKind:
    """One kind of report: its words, and the module that writes it."""

    title: str
    """What stands on the sheet and on the card of the screens: `Build sheet`."""
    says: str
    """What it is, for the help."""
    forms: ReportForms
    """The module that writes it."""
    in_steps: bool = False
    """Whether it can be cut after so many steps."""
    about: str = ""
    """What it may be about, for the help and the form; empty when it is always about all."""
    needs_about: bool = False
    """Whether it must be said what it is about."""


KINDS: Mapping[str, ReportKind] = MappingProxyType(
    {
        "build": ReportKind("Build sheet", "every step that is left, in order", build_sheet, True),
        "count": ReportKind("Count sheet", "nothing missing, nothing left over", count_sheet),
        "settings": ReportKind(
            "Settings sheet",
            "adjustments and their ranges",
            settings_sheet,
        ),
        "wants": ReportKind("Shop list", "what is to be bought", wants_sheet),
        "away": ReportKind(
            "Packing lists", "what is with someone else, by size and bag", away_sheet
        ),
        "wires": ReportKind("Wires", "pins and colours of every connector", wires_sheet),
        "book": ReportKind("Whole book", "every part with all that is known", book_sheet),
        "large": ReportKind(
            "Large build sheet",
            "the steps in large type, for the wall",
            SheetReport(large_sheet.sheet, build_sheet.rows),
            in_steps=True,
        ),
        "order": ReportKind(
            "Order sheet",
            "the order in which an assembly goes on, with arrows for what covers what",
            SheetReport(order_sheet.sheet, order_sheet.rows),
            about="assemblies, such as “Front wheel / Brake”",
        ),
        "part": ReportKind(
            "Part sheet",
            "one part a page, with its picture",
            SheetReport(part_sheet.sheet, part_sheet.rows),
            about="codes of parts",
            needs_about=True,
        ),
        "contents": ReportKind(
            "Contents",
            "what is in a box or on a shelf, with its tag",
            SheetReport(contents_sheet.sheet, contents_sheet.rows),
            about="bins by code or name",
        ),
        "inserts": ReportKind(
            "Bag inserts",
            "an A6 page for each bag",
            SheetReport(inserts_sheet.sheet, inserts_sheet.rows),
            about="bins or parts by code or name",
        ),
        "flags": ReportKind(
            "Flag labels",
            "strips that fold round a wire or hose, the same code at both ends",
            SheetReport(flags_sheet.sheet, flags_sheet.rows),
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
    if form == ".html":
        return KINDS[kind].forms.page(request)
    if form == ".csv":
        return csv_text(KINDS[kind].forms.rows(request))
    if form == ".pdf":
        raise BadInput("A PDF is written to a file, not shown as text.")
    if form == ".txt":
        return "\n".join(KINDS[kind].forms.text(request)) + "\n"
    raise BadInput(f"“{form}” is not a report format; end the file name with {', '.join(FORMS)}.")


def write_report(kind: str, target: Path, request: ReportRequest) -> None:
    """Writes a report in the form that the ending of `target` names.

    CSV begins with the mark of UTF-8, so that spreadsheets read it rightly. A file that was there
    is replaced only once the new one is whole.
    """
    if target.suffix.casefold() == ".pdf" and kind in KINDS:
        check_about(kind, request.about)
        write_pdf(KINDS[kind].forms.sheet(request), target, request)
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
