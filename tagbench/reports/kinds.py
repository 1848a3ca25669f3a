"""The reports there are, and writing one in the form its file name asks for."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tagbench.book.outside import write_file
from tagbench.errors import BadInput
from tagbench.reports import book_sheet, build_sheet, count_sheet, settings_sheet, wants_sheet
from tagbench.reports.asked import Asked, Row

FORMS = (".txt", ".csv", ".html")
"""The endings of the files that can be written."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of report in its three forms."""

    says: str
    """What it is, for the help."""
    text: Callable[[Asked], Iterator[str]]
    """Plain lines."""
    rows: Callable[[Asked], Iterator[Row]]
    """Lines of CSV, the first one the names of the columns."""
    page: Callable[[Asked], str]
    """A self-contained HTML page."""


KINDS = {
    "build": Kind(
        "every step that is left, in order", build_sheet.text, build_sheet.rows, build_sheet.page
    ),
    "count": Kind(
        "nothing missing, nothing left over", count_sheet.text, count_sheet.rows, count_sheet.page
    ),
    "wants": Kind("what is to be bought", wants_sheet.text, wants_sheet.rows, wants_sheet.page),
    "settings": Kind(
        "adjustments and their ranges",
        settings_sheet.text,
        settings_sheet.rows,
        settings_sheet.page,
    ),
    "book": Kind("every part", book_sheet.text, book_sheet.rows, book_sheet.page),
}
"""Name → report."""


def report(kind: str, form: str, asked: Asked) -> str:
    """A report in one of `FORMS`. Raises BadInput for an unknown kind or form."""
    if kind not in KINDS:
        raise BadInput(f"There is no report “{kind}”; there are {', '.join(KINDS)}.")
    if form == ".html":
        return KINDS[kind].page(asked)
    if form == ".csv":
        return _csv(KINDS[kind].rows(asked))
    if form == ".txt":
        return "\n".join(KINDS[kind].text(asked)) + "\n"
    raise BadInput(f"“{form}” is no form of report; end the file name with {', '.join(FORMS)}.")


def write_report(kind: str, target: Path, asked: Asked) -> None:
    """Writes a report in the form that the ending of `target` names.

    CSV begins with the mark of UTF-8, so that spreadsheets read it rightly. A file that was there
    is replaced only once the new one is whole.
    """
    text = report(kind, target.suffix.casefold(), asked)
    encoding = "utf-8-sig" if target.suffix.casefold() == ".csv" else "utf-8"
    write_file(target, text.encode(encoding))


def _csv(rows: Iterator[Row]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows(rows)  # as RFC 4180 has it
    return out.getvalue()
