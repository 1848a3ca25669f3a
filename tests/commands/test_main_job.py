"""The main job by commands: strip, tag, scan, find."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from stdnum.iso7064 import mod_37_36

from tests.commands.conftest import Tagbench

SCREWS = (
    "strip",
    "backing plate screws",
    "--from",
    "Front wheel / Brake",
    "--fasteners",
    "4x M5x0.8x12 pan",
    "--json",
)


def test_strip_gives_a_code_with_a_sound_check_character(tagbench: Tagbench) -> None:
    """ISO 7064 MOD 37,36, checked with python-stdnum 2.2."""
    part = tagbench(*SCREWS).json
    assert re.fullmatch(r"A-001-[0-9A-Z]", part["code"])
    mod_37_36.validate(part["code"].replace("-", ""))
    assert part["assembly"] == "Front wheel / Brake"
    fastener = part["fasteners"][0]
    assert (fastener["quantity"], fastener["thread"]) == (4, "M5x0.8")
    assert (fastener["length"], fastener["head"]) == (12, "pan")


def test_find_forgives_a_slip_and_says_where(tagbench: Tagbench) -> None:
    for name in ("Wheel nut", "Brake shoes", "Hub cap", "Plate, engine"):
        tagbench("strip", name, "--from", "Front wheel / Brake", "--fasteners", "2x M6x1x20 hex")
    code = tagbench(*SCREWS, "--bin", "Shelf A / Box 2 / Bag 7").json["code"]
    found = tagbench("find", "4", "screws", "bakcing", "plate", "--json").json
    assert found[0]["code"] == code
    assert [place.casefold() for place in found[0]["kept_in"]] == ["bag 7", "box 2", "shelf a"]


def test_every_tag_of_a_sheet_reads_back_as_its_record(tagbench: Tagbench, tmp_path: Path) -> None:
    """The PDF rasterised by pypdfium2, its symbols read by zxing-cpp."""
    pdfium = pytest.importorskip("pypdfium2")
    zxing = pytest.importorskip("zxingcpp")
    codes = {tagbench(*SCREWS).json["code"] for _ in range(3)}
    file = tmp_path / "t.pdf"
    told = tagbench("tags", "--all", "--stock", "a4-3x8-70x37", "-o", str(file), "--json").json
    assert (told["pages"], told["tags"]) == (1, 3)
    page = pdfium.PdfDocument(str(file))[0]
    width_mm, height_mm = (side / 72 * 25.4 for side in page.get_size())
    assert width_mm == pytest.approx(210, abs=0.2)  # ISO 216 A4
    assert height_mm == pytest.approx(297, abs=0.2)
    image = page.render(scale=300 / 72).to_pil()
    texts = [found.text for found in zxing.read_barcodes(image)]
    assert {tagbench("scan", text, "--json").json["record"]["code"] for text in texts} == codes


def test_scan_of_a_spare_tag_and_stripping_onto_it(tagbench: Tagbench, tmp_path: Path) -> None:
    tagbench("machine", "add", "Packman", "--mark", "TP")
    told = tagbench("tags", "--spare", "2", "-o", str(tmp_path / "s.pdf"), "--json").json
    assert told["tags"] == 2
    code = told["codes"][0]
    assert tagbench("scan", f"HTTP://GARAGE.LOCAL:8017/{code}", "--json").json["kind"] == "spare"
    part = tagbench("strip", "hub cap", "--from", "Front wheel", "--code", code, "--json").json
    assert part["code"] == code
    assert tagbench("scan", code.lower(), "--json").json["kind"] == "part"


def test_undo_takes_the_part_away_but_never_frees_its_code(tagbench: Tagbench) -> None:
    first = tagbench(*SCREWS).json["code"]
    assert "took back" in tagbench("undo").out
    assert tagbench("show", first).code == 2
    second = tagbench(*SCREWS).json["code"]
    assert first != second


def test_behind_may_be_the_last_one(tagbench: Tagbench) -> None:
    first = tagbench(*SCREWS).json["code"]
    part = tagbench(
        "strip", "backing plate", "--from", "front wheel/ brake", "--behind", "last", "--json"
    ).json
    assert part["behind"] == [first]
    assert part["assembly"] == "Front wheel / Brake"


def test_bad_input_is_one_sentence_with_exit_code_2(tagbench: Tagbench) -> None:
    code = tagbench(*SCREWS).json["code"]
    wrong = code[:-1] + ("X" if code[-1] != "X" else "Y")
    for words in (
        ("show", wrong),
        ("show", "nonsense"),
        ("strip", "  "),
        ("strip", "x", "--fasteners", "4x M5x0.8x12 \x07"),
        ("strip", "x", "--behind", "A-999-Z"),
        ("strip", "x", "--quantity", "0"),
        ("strip", "x", "--machine", "ZZZ"),
        ("machine", "add", "Other", "--mark", "BIN"),
        ("machine", "add", "Other", "--mark", "A"),
        ("machine", "choose", "Q"),
        ("tags", "--all", "--stock", "a4-3x8-70x38", "-o", "x.pdf"),
        ("frobnicate",),
    ):
        said = tagbench(*words)
        assert said.code == 2, words
        assert said.err.count("\n") == 1, said.err
        assert "Traceback" not in said.err
    assert code in tagbench("show", wrong).err
    assert len(tagbench("find", "backing", "--json").json) == 1


def test_a_photo_that_is_no_picture_is_refused_and_nothing_is_kept(
    tagbench: Tagbench, folder: Path, tmp_path: Path
) -> None:
    fake = tmp_path / "fake.jpg"
    fake.write_text("no picture")
    said = tagbench("strip", "drum", "--photo", str(fake))
    assert (said.code, said.err.count("\n")) == (2, 1)
    assert not list((folder / "photos").glob("*"))
    assert tagbench("find", "drum").code == 2


def test_the_program_runs_as_a_command_of_its_own(folder: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tagbench", "--book", str(folder), "show", "A-001-X"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1


def test_the_core_imports_neither_textual_nor_aiohttp() -> None:
    program = (
        "import sys, labels.stock.sheet, labels.output.files, tagbench.records, "
        "tagbench.trade.threads, "
        "tagbench.rules.find.index, tagbench.book, tagbench.book.operations.strip; "
        "print([m for m in ('textual', 'aiohttp') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_what_is_doubtful_stays_as_words_and_the_answer_names_it(tagbench: Tagbench) -> None:
    """Nobody can be asked by command: what is sure is recorded, each doubtful word is told."""
    typed = "M6x20/25; 3 wibbles; sump plug M14; M8 nut 13mm"
    told = tagbench("strip", "cover", "--from", "Engine", "--fasteners", typed)
    assert told.code == 0
    assert "“x20/25” can mean 20 or 25 mm long; it is kept as words." in told.out
    assert "“wibbles” was not understood and is kept as words." in told.out
    assert "“M14” can mean M14x1.5 or M14x1.25; it is kept as words." in told.out
    assert "Taken as: “13mm”: spanner 13 mm." in told.out
    assert "The thread of “sump plug” is not yet known; measure it." in told.out
    lines = tagbench("find", "cover", "--json").json[0]["fasteners"]
    assert [(line["quantity"], line["thread"], line["words"]) for line in lines] == [
        (1, "M6x1", "x20/25"),
        (3, "", "wibbles"),
        (1, "", "M14"),
        (1, "M8x1.25", ""),
    ]


@pytest.mark.parametrize("typed", ["", "   ", "M6\x00x20", "M6\x1bx20"])
def test_only_control_characters_are_refused(tagbench: Tagbench, typed: str) -> None:
    """An empty text is no fasteners; a control character is one clear sentence and exit code 2."""
    told = tagbench("strip", "cover", "--from", "Engine", "--fasteners", typed)
    assert told.code == (2 if any(ord(sign) < 32 for sign in typed) else 0)
    if told.code:
        assert "control character" in told.err
