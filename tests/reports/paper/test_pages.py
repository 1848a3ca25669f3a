"""Reports on paper: the right paper, nothing cut off, every symbol readable, as it was approved."""

from __future__ import annotations

import time
from collections import Counter
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest
import zxingcpp
from PIL import Image, ImageChops

from labels.face.fonts import CAPITAL
from tagbench.errors import BadInput, NotFound
from tagbench.reports.kinds import KINDS, report_text, write_report
from tagbench.reports.paper.blocks import LARGE
from tagbench.reports.photo_data import jpeg, reduced
from tagbench.reports.request import ReportRequest
from tests.approved_pictures import matches_approved
from tests.labels import raster
from tests.rules.machines import code

ABOUT = {"part": (code(1), code(3)), "flags": (code(1), code(3))}
PAPER_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "a6": (105.0, 148.0)}
"""ISO 216 and ANSI A."""
APPROVED = Path(__file__).parent / "approved"


@pytest.fixture
def pictured(asking: ReportRequest, photos: Path) -> ReportRequest:
    """The same machine with a picture that has something on it."""
    picture = Image.linear_gradient("L").resize((1600, 1200))
    picture.paste(255, (200, 200, 700, 500))
    picture.convert("RGB").save(photos / "plate.jpg")
    return replace(asking, photos=photos)


def written(kind: str, request: ReportRequest, folder: Path) -> Path:
    """A report as PDF."""
    target = folder / f"{kind}.pdf"
    write_report(kind, target, replace(request, about=ABOUT.get(kind, request.about)))
    return target


def inked(page: Image.Image) -> tuple[int, int, int, int]:
    """The rectangle with ink in it."""
    box = ImageChops.invert(page.convert("L")).point(lambda shade: 255 * (shade > 60)).getbbox()
    assert box is not None
    return box


@pytest.mark.sampled(4)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_report_is_laid_out_on_the_books_paper(
    kind: str, paper: str, pictured: ReportRequest, tmp_path: Path
) -> None:
    """With its margins kept blank: 5 mm at least, which printers reach (common practice)."""
    file = written(kind, replace(pictured, paper=paper), tmp_path)
    wide, high = PAPER_MM["a6" if kind == "inserts" else paper]
    for size in raster.page_sizes_mm(file):
        assert size == pytest.approx((wide, high), abs=0.05)
    for page in raster.pages(file, 50):
        left, top, right, bottom = (one / 50 * 25.4 for one in inked(page))
        assert min(left, top) >= 5 and right <= wide - 5 and bottom <= high - 5


@pytest.mark.parametrize("kind", KINDS)
def test_a_report_looks_as_it_was_approved(
    kind: str, pictured: ReportRequest, tmp_path: Path
) -> None:
    """The first page of each."""
    page = raster.pages(written(kind, pictured, tmp_path), 60)[0]
    assert matches_approved(page, APPROVED / f"{kind}.png") == ""


@pytest.mark.sampled(4)
@pytest.mark.parametrize(
    ("kind", "codes"),
    [
        ("build", [code(1), code(3)]),
        ("large", [code(1), code(3)]),
        ("book", [code(1), code(2), code(3)]),
        ("part", [code(1), code(3)]),
        ("flags", [code(1), code(1), code(3), code(3)]),
        ("contents", ["BIN-001-K"]),
        ("inserts", ["BIN-001-K"]),
    ],
)
def test_the_symbols_on_paper_are_read(
    kind: str, codes: list[str], pictured: ReportRequest, tmp_path: Path
) -> None:
    """By zxing-cpp, which had no part in drawing them; a flag carries its code at both ends."""
    seen: list[str] = []
    for page in raster.pages(written(kind, pictured, tmp_path), 300):
        seen += [one.text for one in zxingcpp.read_barcodes(page)]
    assert Counter(seen) == Counter(codes)


def test_names_on_the_sheet_for_the_wall_are_of_18_points(
    pictured: ReportRequest, tmp_path: Path
) -> None:
    """Capitals of the code, measured on the raster: 0.714 × 18 pt = 4.5 mm (Noto Sans)."""
    assert LARGE.name == 18.0
    page = raster.pages(written("large", pictured, tmp_path), 300)[0].convert("L")
    left = round(19.2 / 25.4 * 300)  # the code stands behind the room for the box
    column = page.crop((left, 0, left + round(3.2 / 25.4 * 300), page.height))
    rows = [
        min(column.crop((0, y, column.width, y + 1)).tobytes()) < 100 for y in range(page.height)
    ]
    runs, start = [], 0
    for y in range(1, page.height):
        if rows[y] and not rows[y - 1]:
            start = y
        if not rows[y] and rows[y - 1]:
            runs.append((y - start) / 300 * 25.4)
    wanted = CAPITAL * 18 / 72 * 25.4
    assert any(run == pytest.approx(wanted, abs=0.15) for run in runs)


def test_a_part_sheet_has_one_page_a_part(pictured: ReportRequest, tmp_path: Path) -> None:
    """With its picture as wide as the page."""
    file = written("part", pictured, tmp_path)
    first, second = raster.pages(file, 50)
    assert ImageChops.difference(first.convert("L"), second.convert("L")).getbbox()
    shades = Counter(second.convert("L").crop((30, 250, 380, 450)).tobytes())
    assert len(shades) > 60, "the picture has many shades"


def test_long_words_wrap_and_nothing_runs_off_the_page(
    pictured: ReportRequest, tmp_path: Path
) -> None:
    """A name of 300 letters without a blank, in every report."""
    part = msgspec.structs.replace(
        pictured.tables.parts[code(3)], name="Bremsankerplatte" * 18, note="x" * 400
    )
    parts = {**pictured.tables.parts, part.code: part}
    request = replace(pictured, tables=msgspec.structs.replace(pictured.tables, parts=parts))
    for kind in KINDS:
        file = written(kind, request, tmp_path)
        for page in raster.pages(file, 50):
            assert inked(page)[2] <= page.width - 9, kind


def test_the_order_sheet_says_what_covers_what(pictured: ReportRequest) -> None:
    """Plate, then wheel, then nut: each covers the one before it."""
    text = report_text("order", ".txt", replace(pictured, about=("front wheel",)))
    assert text.index("brake plate") < text.index("Söhne") < text.index("axle nut")
    assert "covers brake plate TP-003-A" in text
    rows = report_text("order", ".csv", replace(pictured, about=("front wheel",))).splitlines()
    assert rows[0].startswith("assembly,number,code")
    with pytest.raises(NotFound, match="Front wheel / Brake"):
        report_text("order", ".txt", replace(pictured, about=("gearbox",)))


def test_contents_list_what_is_in_a_box_bag_by_bag(pictured: ReportRequest) -> None:
    """By code or name of the box."""
    for wanted in ("BIN-001-K", "front brake 1"):
        text = report_text("contents", ".txt", replace(pictured, about=(wanted,)))
        assert "brake plate" in text and code(3) in text
    with pytest.raises(NotFound, match="the command bins lists them"):
        report_text("contents", ".txt", replace(pictured, about=("TP-001-N",)))


def test_a_report_says_what_it_must_be_told(pictured: ReportRequest) -> None:
    """And refuses what it cannot be about."""
    with pytest.raises(BadInput, match=r"part is about: codes of parts"):
        report_text("part", ".txt", pictured)
    with pytest.raises(BadInput, match="about the whole machine"):
        report_text("count", ".txt", replace(pictured, about=("x",)))
    with pytest.raises(BadInput, match="1 to 40 mm, not 90 mm"):
        report_text("flags", ".txt", replace(pictured, about=(code(1),), around_mm=90))


def test_pictures_are_told_one_by_one(pictured: ReportRequest, tmp_path: Path) -> None:
    """So that a long report can show how far it is."""
    told: list[tuple[int, int]] = []
    watched = replace(pictured, progress=lambda done, total: told.append((done, total)))
    written("book", watched, tmp_path)
    assert told == [(1, 3), (2, 3), (3, 3)]


@pytest.mark.parametrize("shape", [(1600, 1200), (1200, 1600), (1600, 500), (500, 1600)])
def test_the_picture_of_an_insert_stays_on_its_page(
    shape: tuple[int, int], pictured: ReportRequest, photos: Path, tmp_path: Path
) -> None:
    """A page without the code would be nobody's once it is cut off, so it shrinks to fit."""
    Image.linear_gradient("L").resize(shape).convert("RGB").save(photos / "plate.jpg")
    for page in raster.pages(written("inserts", pictured, tmp_path), 300):
        assert [one.text for one in zxingcpp.read_barcodes(page)] == ["BIN-001-K"]


def test_a_picture_that_goes_to_the_next_page_takes_name_and_code_along(
    pictured: ReportRequest, tmp_path: Path
) -> None:
    """An insert whose words leave no room: the same words begin both pages."""
    part = pictured.tables.parts[code(3)]
    full = msgspec.structs.replace(part, note="a long word or two about it, " * 16)
    parts = {**pictured.tables.parts, part.code: full}
    tables = msgspec.structs.replace(pictured.tables, parts=parts)
    written("inserts", replace(pictured, tables=tables, about=(code(3),)), tmp_path)
    first, second = (page.convert("L") for page in raster.pages(tmp_path / "inserts.pdf", 100))
    name = (20, 20, 200, 45)
    assert ImageChops.difference(first.crop(name), second.crop(name)).getbbox() is None


def test_arrows_are_explained_where_there_are_arrows(pictured: ReportRequest) -> None:
    """Nothing covers anything in an assembly of one part."""
    part = pictured.tables.parts[code(3)]
    machine = msgspec.structs.replace(pictured.tables, parts={part.code: part})
    assert "An arrow" not in report_text("order", ".txt", replace(pictured, tables=machine))


def test_a_picture_that_cannot_be_read_is_named_on_paper(
    pictured: ReportRequest, photos: Path, tmp_path: Path
) -> None:
    """Its place says so, and the report is whole."""
    (photos / "plate.jpg").write_bytes(b"no picture")
    assert raster.pages(written("part", pictured, tmp_path), 40)


def camera_picture(path: Path) -> Path:
    """12 MP and about 3 MB, upright only by its Exif orientation, as phones write them."""
    grain = Image.effect_noise((400, 300), 90).convert("RGB")
    picture = grain.resize((4000, 3000), Image.Resampling.BICUBIC)
    exif = picture.getexif()
    exif[0x0112] = 6
    picture.save(path, quality=88, exif=exif)
    return path


def test_a_large_picture_is_decoded_at_a_reduced_size(tmp_path: Path) -> None:
    """Upright and sharp at its size; what is hardly too large is left as it was decoded."""
    path = camera_picture(tmp_path / "phone.jpg")
    assert reduced(path, 640).size == (480, 640)
    assert reduced(path, 450).size == (375, 500)


@pytest.mark.bench
def test_a_large_picture_takes_less_than_half_of_decoding_it_whole(tmp_path: Path) -> None:
    """Since the decoder leaves out the fine parts."""
    path = camera_picture(tmp_path / "phone.jpg")

    def seconds(work: object) -> float:
        assert callable(work)
        times = []
        for _ in range(3):
            start = time.process_time()
            work()
            times.append(time.process_time() - start)
        return min(times)

    def whole() -> None:
        with Image.open(path) as picture:
            picture.convert("RGB").thumbnail((640, 640))

    assert seconds(lambda: jpeg(path)) < 0.5 * seconds(whole)


@pytest.mark.bench
def test_210_pictures_of_12_mp_take_at_most_60_ms_each(
    pictured: ReportRequest, photos: Path, tmp_path: Path
) -> None:
    """Processor time on one core, for the whole book as PDF."""
    camera_picture(photos / "plate.jpg")
    plate = pictured.tables.parts[code(3)]
    many = msgspec.structs.replace(plate, photos=plate.photos * 210)
    parts = {**pictured.tables.parts, plate.code: many}
    request = replace(pictured, tables=msgspec.structs.replace(pictured.tables, parts=parts))
    start = time.process_time()
    written("book", request, tmp_path)
    spent = (time.process_time() - start) / 210
    print(f"{1000 * spent:.1f} ms a picture")
    assert spent <= 0.060
