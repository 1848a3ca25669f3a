"""The reports there are, and writing one in the form its file name asks for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from types import MappingProxyType
from typing import Protocol, cast

from labels.output.files import write_pages
from tagbench.book.outside import write_file
from tagbench.errors import BadInput
from tagbench.reports.page import render
from tagbench.reports.paper.blocks import Sheet
from tagbench.reports.paper.layout import paginate
from tagbench.reports.paper.page_maker import DOTS_PER_MM
from tagbench.reports.paper.plain import plain_lines
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.table import csv_text
from tagbench.trade.published import read_table

FORMS = (".txt", ".csv", ".html", ".pdf")
"""The endings of the files that can be written."""
PICTURED = (".html", ".pdf")
"""Those that can hold pictures."""


class ReportModule(Protocol):
    """What the module of a report has. Text, HTML and PDF follow from its sheet."""

    def sheet(self, request: ReportRequest) -> Sheet:
        """What stands on it, as blocks."""

    def rows(self, request: ReportRequest) -> Iterator[ReportRow]:
        """Lines of CSV, the first one the names of the columns."""


@dataclass(frozen=True, slots=True)
class ReportKind:
    """One kind of report."""

    title: str
    """What stands on the sheet and on the card of the screens: `Build sheet`."""
    says: str
    """What it is, for the help."""
    written_in: str
    """Its module below `tagbench.reports`."""
    in_steps: bool
    """Whether it can be cut after so many steps."""
    about: str
    """What it may be about, for the help and the form; empty when it is always about all."""
    needs_about: bool
    """Whether it must be said what it is about."""

    @property
    def module(self) -> ReportModule:
        """Its module, read when the report is first made."""
        return cast(ReportModule, import_module(f"tagbench.reports.{self.written_in}"))


KINDS: Mapping[str, ReportKind] = MappingProxyType(
    {
        row["report"]: ReportKind(
            title=row["title"],
            says=row["says"],
            written_in=row["written_in"],
            in_steps=row["in_steps"] == "yes",
            about=row["about"],
            needs_about=row["needs_about"] == "yes",
        )
        for row in read_table("reports", "tagbench.reports")
    }
)
"""Name → report, for commands and screens: `tables/reports.csv`."""


def report_text(kind: str, form: str, request: ReportRequest) -> str:
    """A report in one of `FORMS`. Raises BadInput for an unknown kind or form."""
    if kind not in KINDS:
        raise BadInput(f"There is no report “{kind}”; there are {', '.join(KINDS)}.")
    check_about(kind, request.about)
    entry = KINDS[kind]
    if form == ".html":
        return render(entry.module.sheet(request), request)
    if form == ".csv":
        return csv_text(entry.module.rows(request))
    if form == ".pdf":
        raise BadInput("A PDF is written to a file, not shown as text.")
    if form == ".txt":
        return "\n".join(plain_lines(entry.module.sheet(request))) + "\n"
    raise BadInput(f"“{form}” is not a report format; end the file name with {', '.join(FORMS)}.")


def write_report(kind: str, target: Path, request: ReportRequest) -> None:
    """Writes a report in the form that the ending of `target` names.

    CSV begins with the mark of UTF-8, so that spreadsheets read it rightly. A file that was there
    is replaced only once the new one is whole.
    """
    if target.suffix.casefold() == ".pdf" and kind in KINDS:
        check_about(kind, request.about)
        sheet = KINDS[kind].module.sheet(request)
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
