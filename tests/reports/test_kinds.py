"""Every report in every form: it says what it should, stands alone, and runs nothing."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import msgspec
import pytest

from tagbench.errors import BadInput
from tagbench.reports.kinds import KINDS, report_text, write_report
from tagbench.reports.request import ReportRequest
from tests.reports.conftest import NASTY
from tests.rules.machines import code


def about(kind: str, asking: ReportRequest) -> ReportRequest:
    """The request with what such a report must be told."""
    return replace(asking, about=(code(1), code(3)) if KINDS[kind].needs_about else ())


VOID = {"meta", "br", "img", "path"}


class Page(HTMLParser):
    """Reads a page strictly: every tag closed in turn; collects text, tags and addresses."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(page)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data

    def named(self, tag: str) -> Iterator[dict[str, str | None]]:
        """The attributes of all tags of a name."""
        return (attributes for name, attributes in self.tags if name == tag)


@pytest.mark.parametrize("kind", KINDS)
def test_a_page_is_whole_and_stands_alone(kind: str, asking: ReportRequest) -> None:
    """Tags balance; nothing is fetched from elsewhere and nothing runs; names stay text."""
    text = report_text(kind, ".html", about(kind, asking))
    page = Page(text)
    assert {name for name, _ in page.tags}.isdisjoint(
        {"script", "link", "iframe", "object", "base"}
    )
    addresses = [at.get(key) for _, at in page.tags for key in ("src", "href")]
    assert all(address is None or address.startswith("data:") for address in addresses)
    assert not re.search(r"url\(|@import|https?://", text)
    assert "Tarnbrook Packman (TP)" in page.text or kind in ("contents", "inserts", "flags")
    assert "<script>alert" not in text


@pytest.mark.parametrize("kind", ["build", "book"])
def test_a_page_has_a_symbol_for_each_part(kind: str, asking: ReportRequest) -> None:
    """Drawn in the page."""
    page = Page(report_text(kind, ".html", asking))
    labels = [at["aria-label"] for at in page.named("svg")]
    expected = [code(3), code(1)] if kind == "build" else [code(1), code(2), code(3)]
    assert labels == [f"QR symbol of {one}" for one in expected]


def test_the_names_people_type_stay_text(asking: ReportRequest) -> None:
    """Whatever is in them."""
    assert NASTY in Page(report_text("book", ".html", asking)).text


@pytest.mark.parametrize("kind", KINDS)
def test_csv_has_the_same_columns_in_every_row(kind: str, asking: ReportRequest) -> None:
    """With their names in the first one."""
    rows = list(csv.reader(io.StringIO(report_text(kind, ".csv", about(kind, asking)))))
    assert len(rows) > 1 and len({len(row) for row in rows}) == 1
    assert len(set(rows[0])) == len(rows[0])


def test_the_build_sheet_lists_what_is_left_in_order(asking: ReportRequest) -> None:
    """Plate, then nut; the snug wheel is on; the plate says why it is held up."""
    rows = list(csv.DictReader(io.StringIO(report_text("build", ".csv", asking))))
    assert [row["code"] for row in rows] == [code(3), code(1)]
    assert "not degreased" in rows[0]["held_up"]
    assert rows[1]["renew"] == "1 cotter pin 3.2x32"
    text = report_text("build", ".txt", asking)
    for words in (
        "[ ] 1. TP-003-A  brake plate",
        "Front brake 1",
        "dot up",
        "4x M5x0.8x12 pan",
        "held up         not degreased",
        "castle nut M12x1.25: 45–55 N·m",
        "under           " + NASTY,
        "Follow the maker's manual",
    ):
        assert words in text


def test_only_the_first_steps_when_asked(asking: ReportRequest) -> None:
    """One of two."""
    assert "axle nut" not in report_text("build", ".csv", replace(asking, steps=1))


def test_the_build_sheet_of_a_finished_machine_says_so(asking: ReportRequest) -> None:
    """Nothing is left."""
    done = replace(asking, tables=msgspec.structs.replace(asking.tables, parts={}))
    assert "Every part is on the machine." in report_text("build", ".txt", done)
    assert "Every part is on the machine." in report_text("build", ".html", done)


def test_the_count_sheet_has_figures_and_a_line_for_each_open_thing(
    asking: ReportRequest,
) -> None:
    """In words: the names by which a command takes reasons are no words for paper."""
    text = report_text("count", ".txt", asking)
    assert "5 fasteners out = 0 back + 5 in the bag + 0 lost" in text
    page = Page(report_text("count", ".html", asking)).text
    for key in (f"off:{code(1)}", f"snug:{code(2)}", f"off:{code(3)}", "setting:1"):
        assert key not in text and key not in page
    assert "axle nut" in text and "axle nut" in page


def test_the_wants_say_what_is_to_buy_and_what_is_late(asking: ReportRequest) -> None:
    """The felt seal holds up all three; the tube is overdue."""
    text = report_text("wants", ".txt", asking)
    assert "1 × felt seal" in text and "1 × tube" in text and "14 days overdue" in text
    rows = list(csv.DictReader(io.StringIO(report_text("wants", ".csv", asking))))
    assert {row["what"] for row in rows} >= {"felt seal", "tube", "cotter pin 3.2x32"}


def test_the_settings_have_room_for_what_is_measured(asking: ReportRequest) -> None:
    """A box, the range, the note."""
    page = report_text("settings", ".html", asking)
    assert "3–5 mm" in page and "at the lever" in page and 'class="blank"' in page
    assert "stands: not measured" in report_text("settings", ".txt", asking)


def test_photos_only_when_asked_for(asking: ReportRequest, photos: Path) -> None:
    """Then inside the page, no larger than they print."""
    assert "<img" not in report_text("build", ".html", asking)
    page = Page(report_text("build", ".html", replace(asking, photos=photos)))
    [picture] = page.named("img")
    address = picture["src"]
    assert address is not None and address.startswith("data:image/jpeg;base64,")
    assert len(address) < 20_000
    assert "before: as it came off" in page.text


@pytest.mark.parametrize("content", [None, b"no picture"])
def test_a_photo_that_cannot_be_read_is_named(
    asking: ReportRequest, photos: Path, content: bytes | None
) -> None:
    """Missing or damaged: its place says so, and the rest of the page is there."""
    (photos / "plate.jpg").unlink()
    if content is not None:
        (photos / "plate.jpg").write_bytes(content)
    target = photos.parent / "sheet.html"
    write_report("build", target, replace(asking, photos=photos))
    page = Page(target.read_text(encoding="utf-8"))
    assert "The picture plate.jpg cannot be read" in page.text
    assert "waits for 1 × tube" in page.text


def test_what_there_is_not_is_refused(asking: ReportRequest, tmp_path: Path) -> None:
    """Kinds and forms."""
    with pytest.raises(BadInput, match="build, count"):
        report_text("bill", ".txt", asking)
    with pytest.raises(BadInput, match=r"\.txt, \.csv, \.html, \.pdf"):
        write_report("build", tmp_path / "sheet.doc", asking)


def test_a_written_file_replaces_the_old_one_whole(asking: ReportRequest, tmp_path: Path) -> None:
    """CSV begins with the mark of UTF-8; nothing else is left in the folder."""
    target = tmp_path / "sheet.csv"
    target.write_text("old")
    write_report("book", target, asking)
    assert target.read_bytes().startswith(b"\xef\xbb\xbfcode,")
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.csv"]


def test_long_reports_tell_how_far_they_are(asking: ReportRequest) -> None:
    """Up to the last part."""
    told: list[tuple[int, int]] = []
    watched = replace(asking, progress=lambda done, total: told.append((done, total)))
    for kind, last in [("book", (3, 3)), ("build", (2, 2))]:
        told.clear()
        report_text(kind, ".html", watched)
        assert told[-1] == last
