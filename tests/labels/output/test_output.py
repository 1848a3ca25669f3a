"""Files: true size, exact places, exact dots, whole or not at all."""

import errno
import re
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image, ImageChops

from labels.errors import FitError, OutputError, StockError
from labels.face.artwork import draw_tag
from labels.face.drawing import Drawing
from labels.output.correction import Correction
from labels.output.files import Printed, write_pages, write_tags
from labels.stock.catalogue import find_stock, load_stock
from labels.stock.geometry import Stock
from labels.stock.sheet import lay_out
from tests.labels import raster
from tests.labels.marks import ink_box
from tests.labels.samples import bin_tag, long_tag, many, spare, tag

STOCKS = list(load_stock())


def written(tmp_path: Path, name: str, suffix: str = ".pdf", **options: object) -> Printed:
    texts = [tag(), long_tag(), bin_tag(), spare(231)]
    return write_tags(texts, find_stock(name), tmp_path / f"tags{suffix}", **options)  # type: ignore[arg-type]


@pytest.mark.sampled(5)
@pytest.mark.parametrize("name", STOCKS)
def test_a_pdf_has_the_size_of_its_stock_and_every_tag(tmp_path: Path, name: str) -> None:
    """Within 0.2 mm, read back by pypdfium2; an independent reader finds every tag in it."""
    printed = written(tmp_path, name)
    stock = find_stock(name)
    sizes = raster.page_sizes_mm(printed.files[0])
    assert len(sizes) == printed.pages
    for width, height in sizes:
        assert width == pytest.approx(stock.page_width, abs=0.2)
        assert height == pytest.approx(stock.page_height, abs=0.2)
    read = {
        result.text
        for page in raster.pages(printed.files[0])
        for result in zxingcpp.read_barcodes(page)
    }
    assert read == {text.payload for text in (tag(), long_tag(), bin_tag(), spare(231))}


@pytest.mark.parametrize("name", STOCKS)
def test_labels_lie_where_the_geometry_says(tmp_path: Path, name: str) -> None:
    """Within 0.2 mm, measured on the raster: a full page of solid labels, edge by edge."""
    stock = find_stock(name)
    number = stock.labels_per_page
    drawings = [Drawing(*stock.label_dots) for _ in range(number)]
    for drawing in drawings:
        inset = round(1.0 * stock.dots_per_mm)
        drawing.bar(inset, inset, drawing.width - 2 * inset, drawing.height - 2 * inset)
    (file,) = write_pages(lay_out(drawings, stock), 1, tmp_path / "x.pdf", stock.dots_per_mm)
    (page,) = raster.pages(file, 600)
    per_mm = 600 / 25.4
    for at in range(1, number + 1):
        place = stock.place(at)
        box = [round(value * per_mm) for value in (place.x, place.y, place.right, place.bottom)]
        right, bottom = min(box[2], page.width), min(box[3], page.height)
        left, top, right, bottom = ink_box(page.crop((box[0], box[1], right, bottom)))
        for found, meant in (
            (left, 1.0), (top, 1.0), (right, place.width - 1.0), (bottom, place.height - 1.0),
        ):  # fmt: skip
            assert found / per_mm == pytest.approx(meant, abs=0.2)


@pytest.mark.sampled(3)
@pytest.mark.parametrize("name", ["a4-3x7-63.5x38.1", "letter-2x5-101.6x50.8", "card-120x70"])
def test_the_pdf_holds_the_same_dots_as_the_picture(tmp_path: Path, name: str) -> None:
    """Dot for dot, rasterised at the stock's own 600 dpi by another program."""
    stock = find_stock(name)
    printed = written(tmp_path, name)
    page = raster.pages(printed.files[0], 600)[0]
    label = draw_tag(tag(), stock).image.convert("L")
    place = stock.place(1)
    x, y = round(place.x * stock.dots_per_mm), round(place.y * stock.dots_per_mm)
    printed_label = page.crop((x, y, x + label.width, y + label.height))
    assert ImageChops.difference(printed_label, label).getbbox() is None


def test_the_figures_of_a_run_are_told(tmp_path: Path) -> None:
    printed = written(tmp_path, "a4-2x7-99.1x38.1", first=13)
    assert (printed.pages, printed.tags, printed.next_label) == (2, 4, 3)
    assert printed.module_mm >= 0.5
    assert printed.level == "H"
    assert printed.cuts == ()


def test_cuts_and_strange_characters_are_told_with_their_code(tmp_path: Path) -> None:
    stock = find_stock("roll-50x30-203")
    printed = write_tags([tag(), long_tag()], stock, tmp_path / "t.pdf")
    assert {item.code for item in printed.cuts} == {long_tag().code}
    printed = write_tags([tag(title="刹车")], stock, tmp_path / "u.pdf")
    assert printed.undrawable == ("刹", "车")


def test_the_same_run_gives_the_same_file(tmp_path: Path) -> None:
    one = written(tmp_path, "a4-3x8-70x37").files[0].read_bytes()
    two = written(tmp_path, "a4-3x8-70x37").files[0].read_bytes()
    assert one == two


def test_a_pdf_asks_viewers_not_to_scale_and_is_one_bit(tmp_path: Path) -> None:
    data = written(tmp_path, "a4-3x8-70x37").files[0].read_bytes()
    assert b"/PrintScaling /None" in data
    assert set(re.findall(rb"/BitsPerComponent (\d+)", data)) == {b"1"}
    assert b"/Font" not in data


def test_the_cross_reference_table_of_a_pdf_is_right(tmp_path: Path) -> None:
    """Every offset leads to its object (ISO 32000-1, 7.5.4)."""
    data = written(tmp_path, "a4-3x8-70x37").files[0].read_bytes()
    start = int(data.rsplit(b"startxref", 1)[1].split()[0])
    lines = data[start:].split(b"\n")
    assert lines[0] == b"xref"
    count = int(lines[1].split()[1])
    for number in range(1, count):
        offset = int(lines[2 + number].split()[0])
        assert data[offset:].startswith(b"%d 0 obj" % number)


@pytest.mark.sampled(5)
@pytest.mark.parametrize("name", STOCKS)
def test_pictures_have_the_size_and_resolution_of_the_printer(tmp_path: Path, name: str) -> None:
    stock = find_stock(name)
    printed = written(tmp_path, name, ".png")
    assert len(printed.files) == printed.pages
    for file in printed.files:
        with Image.open(file) as picture:
            assert picture.mode == "1"
            assert picture.size == stock.page_dots
            assert picture.info["dpi"][0] == pytest.approx(stock.dots_per_inch, rel=0.001)
    read = [zxingcpp.read_barcodes(Image.open(file).convert("L")) for file in printed.files]
    assert sum(len(results) for results in read) == 4


def test_several_pictures_are_numbered_and_one_is_not(tmp_path: Path) -> None:
    roll = find_stock("roll-62x29-300")
    (one,) = write_tags([tag()], roll, tmp_path / "one.png").files
    assert one.name == "one.png"
    names = [file.name for file in written(tmp_path, "roll-62x29-300", ".png").files]
    assert names == [f"tags-0{number}.png" for number in (1, 2, 3, 4)]


@pytest.mark.parametrize("suffix", [".pdf", ".png"])
def test_a_correction_moves_the_labels(tmp_path: Path, suffix: str) -> None:
    stock = find_stock("a4-3x7-63.5x38.1")
    plain = write_tags([tag()], stock, tmp_path / f"a{suffix}").files[0]
    moved = write_tags(
        [tag()], stock, tmp_path / f"b{suffix}", correction=Correction(1.5, -0.8)
    ).files[0]
    boxes = [
        ink_box(raster.pages(f, 600)[0] if suffix == ".pdf" else Image.open(f))
        for f in (plain, moved)
    ]
    per_mm = 600 / 25.4
    assert (boxes[1][0] - boxes[0][0]) / per_mm == pytest.approx(1.5, abs=0.1)
    assert (boxes[1][1] - boxes[0][1]) / per_mm == pytest.approx(-0.8, abs=0.1)


def test_a_correction_stretches_a_pdf_page(tmp_path: Path) -> None:
    stock = find_stock("a4-3x7-63.5x38.1")
    correction = Correction(scale_x=1.01, scale_y=0.99)
    file = write_tags(many(21), stock, tmp_path / "a.pdf", correction=correction).files[0]
    plain = write_tags(many(21), stock, tmp_path / "b.pdf").files[0]
    box, before = (ink_box(raster.pages(path)[0]) for path in (file, plain))
    assert (box[2] - box[0]) / (before[2] - before[0]) == pytest.approx(1.01, abs=0.001)
    assert (box[3] - box[1]) / (before[3] - before[1]) == pytest.approx(0.99, abs=0.001)


def test_cut_marks_are_seen_on_request(tmp_path: Path) -> None:
    for suffix in (".pdf", ".png"):
        file = written(tmp_path, "a4-3x8-70x37", suffix, cut_marks=True).files[0]
        page = raster.pages(file)[0] if suffix == ".pdf" else Image.open(file)
        corner = [round(value / 210 * page.width) for value in (68, 73.5, 72, 75.5)]
        assert ink_box(page.crop((corner[0], corner[1], corner[2], corner[3]))) != (0, 0, 0, 0)


def test_progress_is_told_tag_by_tag(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    write_tags(many(5), find_stock("a4-3x8-70x37"), tmp_path / "t.pdf",
               progress=lambda done, of: told.append((done, of)))  # fmt: skip
    assert told == [(1, 5), (2, 5), (3, 5), (4, 5), (5, 5)]


def test_a_run_that_fails_leaves_the_old_file_whole(tmp_path: Path) -> None:
    target = tmp_path / "tags.pdf"
    target.write_bytes(b"old")
    stock = find_stock("a4-3x8-70x37")

    def stop(done: int, of: int) -> None:
        if done == 20:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_tags(many(40), stock, target, progress=stop)
    assert target.read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["tags.pdf"]


@pytest.mark.parametrize("suffix", [".pdf", ".png"])
def test_a_full_disk_leaves_the_old_file_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, suffix: str
) -> None:
    target = tmp_path / f"tags{suffix}"
    target.write_bytes(b"old")

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OutputError, match="cannot be written: the disk is full"):
        write_tags([tag()], find_stock("roll-62x29-300"), target)
    assert target.read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == [target.name]


@pytest.mark.parametrize(
    ("target", "said"),
    [("nowhere/tags.pdf", "There is no folder"), ("tags.svg", r"must end in \.pdf or \.png"),
     ("tags", r"must end in \.pdf or \.png")],
)  # fmt: skip
def test_a_target_that_cannot_be_is_refused(tmp_path: Path, target: str, said: str) -> None:
    with pytest.raises(OutputError, match=said):
        write_tags([tag()], find_stock("a4-3x8-70x37"), tmp_path / target)


def test_wrong_input_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    stock = find_stock("a4-3x8-70x37")
    with pytest.raises(OutputError, match="no tags"):
        write_tags([], stock, tmp_path / "t.pdf")
    with pytest.raises(StockError, match="no label 99"):
        write_tags([tag()], stock, tmp_path / "t.pdf", first=99)
    with pytest.raises(FitError, match="can hold it"):
        write_tags([tag()], Stock("dot", "roll", 9, 9, 9, 9, 8), tmp_path / "t.pdf",
                   others=load_stock().values())  # fmt: skip
    assert list(tmp_path.iterdir()) == []


def test_pictures_of_a_run_that_is_given_up_do_not_stay_behind(tmp_path: Path) -> None:
    """They would look like all of it."""

    def give_up(done: int, of: int) -> None:
        if done == 3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        written(tmp_path, "roll-50x30-203", ".png", progress=give_up)
    assert list(tmp_path.iterdir()) == []
