"""A report all of whose forms follow from its blocks, and a sheet written as PDF."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from labels.output.files import write_pages
from tagbench.reports.page import render
from tagbench.reports.paper.blocks import Sheet
from tagbench.reports.paper.layout import lay_out
from tagbench.reports.paper.page_maker import DOTS_PER_MM
from tagbench.reports.paper.plain import plain_lines
from tagbench.reports.request import ReportRequest, Row


@dataclass(frozen=True, slots=True)
class SheetReport:
    """A report that is said once, as blocks."""

    make: Callable[[ReportRequest], Sheet]
    table: Callable[[ReportRequest], Iterator[Row]]

    def sheet(self, request: ReportRequest) -> Sheet:
        """What stands on the sheets of paper."""
        return self.make(request)

    def text(self, request: ReportRequest) -> Iterator[str]:
        """Plain lines."""
        return plain_lines(self.make(request))

    def rows(self, request: ReportRequest) -> Iterator[Row]:
        """Lines of CSV, the first one the names of the columns."""
        return self.table(request)

    def page(self, request: ReportRequest) -> str:
        """A self-contained HTML page."""
        return render("blocks.html", request, sheet=self.make(request))


def write_pdf(sheet: Sheet, target: Path, request: ReportRequest) -> None:
    """Writes a sheet on the request's paper. The file takes its name only once it is whole."""
    pages = lay_out(sheet, request.paper, request.address)
    write_pages(pages, len(pages), target, DOTS_PER_MM, title=sheet.title)
