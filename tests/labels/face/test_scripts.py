"""Names in scripts beyond the European ones: drawn, in the right order, or the tag says how."""

from __future__ import annotations

from pathlib import Path

import pytest
import zxingcpp
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from PIL import Image, features

import labels.face.text
from labels.face import fonts, scripts
from labels.face.artwork import TagLine, TagText, draw_tag
from labels.face.bidi import Run, goes_left, visual_runs
from labels.face.fonts import Style, advice, face_of, printable
from labels.face.text import text_pieces, text_width, wrap
from labels.stock.catalogue import find_stock
from tests.approved_pictures import matches_approved

APPROVED = Path(__file__).parent / "approved"
NAMES = {
    "Arabic": "حذاء الفرامل الأيسر M6",
    "Hebrew": "נעל בלם שמאלית (M6x20)",
    "Thai": "ฝักเบรกด้านซ้ายที่",
}
"""Brake shoe, left."""
CJK = {
    "Chinese": "制动蹄片，左侧",
    "Japanese": "ブレーキシュー（左）",
    "Korean": "브레이크 슈 왼쪽",
}
STOCKS = ("roll-50x30-203", "a4-3x8-70x37")


@pytest.fixture
def nothing_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """A computer without any typeface for these scripts."""
    forget()
    monkeypatch.setattr(fonts, "find_typeface", lambda _script: None)


@pytest.fixture
def boxes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A typeface found among the fonts of the system whose every CJK letter is a square, made by
    fontTools."""
    forget()
    letters = sorted(set("".join(CJK.values())) - set("( )"))
    names = [".notdef", *(f"u{ord(letter):X}" for letter in letters)]
    pen = TTGlyphPen(None)
    pen.moveTo((100, 0))
    pen.lineTo((100, 700))
    pen.lineTo((900, 700))
    pen.lineTo((900, 0))
    pen.closePath()
    square = pen.glyph()
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({ord(letter): f"u{ord(letter):X}" for letter in letters})
    builder.setupGlyf(dict.fromkeys(names, square))
    builder.setupHorizontalMetrics(dict.fromkeys(names, (1000, 100)))
    builder.setupHorizontalHeader(ascent=880, descent=-120)
    builder.setupNameTable({"familyName": "Squares", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    path = tmp_path / "NotoSansCJK-Regular.otf"
    builder.save(path)
    monkeypatch.setattr(scripts, "_system_fonts", lambda: {path.name: path})
    monkeypatch.setattr(scripts, "find_spec", lambda _name: None)
    return path


@pytest.fixture(autouse=True)
def forgotten() -> object:
    """What was found on this computer is looked for anew in each test."""
    yield
    forget()


def forget() -> None:
    for kept in (
        fonts._face_of_script, fonts.face_of, fonts.printable, fonts.font_for, fonts._characters,
        scripts.find_typeface, labels.face.text._reference_width, labels.face.text.text_width,
        labels.face.text._piece, labels.face.text._letter,
    ):  # fmt: skip
        kept.cache_clear()
    fonts._OF_SCRIPTS.clear()


def tag(name: str) -> TagText:
    return TagText(
        "TP-017-7",
        name,
        (TagLine("came from", f"Front wheel / {name}"), TagLine("fasteners", "4 × M5x0.8x12 pan")),
    )


@pytest.mark.sampled(4)
@pytest.mark.parametrize("script", NAMES)
@pytest.mark.parametrize("stock", STOCKS)
def test_a_name_is_drawn_whole_and_the_code_stays_readable(script: str, stock: str) -> None:
    """With the typefaces of the extra `scripts`; nothing is changed or cut."""
    drawn = draw_tag(tag(NAMES[script]), find_stock(stock))
    assert drawn.undrawable == () and drawn.cuts == ()
    read = zxingcpp.read_barcode(drawn.image.convert("L"))
    assert read is not None and read.text == "TP-017-7"


@pytest.mark.skipif(not features.check("raqm"), reason="approved with raqm's shaping")
@pytest.mark.parametrize("script", NAMES)
def test_a_name_looks_as_it_was_approved(script: str) -> None:
    """Letters joined, marks over their letters, right to left."""
    image = draw_tag(tag(NAMES[script]), find_stock("roll-62x29-300")).image
    assert matches_approved(image.convert("L").reduce(2), APPROVED / f"{script}.png") == ""


@pytest.mark.skipif(not features.check("raqm"), reason="needs raqm's shaping")
def test_arabic_letters_join() -> None:
    """A word is narrower than its letters one by one."""
    word, style = "الفرامل", Style(200)
    assert text_width(word, style) < 0.9 * sum(text_width(letter, style) for letter in word)


@pytest.mark.parametrize(
    ("memory", "display"),
    [
        ("car means CAR.", "car means RAC."),
        ("CAR MEANS car.", ".car SNAEM RAC"),
        ("DID YOU SAY HE SAID car?", "?car DIAS EH YAS UOY DID"),
        ("CAR 123 ABC", "CBA 123 RAC"),
        ("m6 CAR 20", "m6 20 RAC"),
        ("CAR (m6)", "(m6) RAC"),
    ],
)
def test_a_line_is_ordered_as_unicode_has_it(memory: str, display: str) -> None:
    """UAX #9, the first lines after its examples of L2, the rest by its rules; capitals stand for
    Hebrew letters as there."""
    hebrew = {chr(ord("A") + at): chr(0x05D0 + at) for at in range(26)}
    source = "".join(hebrew.get(letter, letter) for letter in memory)
    wanted = "".join(hebrew.get(letter, letter) for letter in display)
    shown = "".join(
        run.text[::-1].translate(str.maketrans("()", ")(")) if run.leftwards else run.text
        for run in visual_runs(source)
    )
    assert shown == wanted


def test_a_line_of_one_way_is_one_run() -> None:
    assert visual_runs("M6x20 pan") == (Run("M6x20 pan", False),)
    assert not goes_left("größer, 20 %") and goes_left("נעל")


def test_brackets_round_what_goes_right_are_not_turned_wrongly() -> None:
    """In a Hebrew line `(M6)` opens at its left, as one sees it: the sign with the paunch left."""
    from labels.face.text import _in_order

    assert "".join(_in_order("נעל (M6)")).replace("נעל", "") == "(M6) "


@pytest.mark.usefixtures("boxes")
@pytest.mark.parametrize("script", CJK)
def test_chinese_japanese_and_korean_are_drawn_by_a_font_of_the_system(script: str) -> None:
    """Found by its file name; a long name wraps between any two letters."""
    shown, changed = printable(CJK[script])
    assert changed == ()
    style = Style(60)
    assert len(text_pieces(shown, style)) >= len(shown.split())
    line, rest = wrap(CJK[script].replace(" ", "") * 3, 400, style)
    assert rest and text_width(line, style) <= 400
    assert rest[0] not in "，）ー" and line[-1] != "（"


@pytest.mark.sampled(3)
@pytest.mark.usefixtures("nothing_found")
@pytest.mark.parametrize("script", [*NAMES, *CJK])
def test_a_tag_that_cannot_draw_a_name_says_where_to_get_the_font(script: str) -> None:
    """And keeps the code as large as it is on a tag with a short name."""
    name = (NAMES | CJK)[script]
    shown, changed = printable(name)
    assert f"[{script}: install fonts-noto-" in shown and "?" not in shown
    assert len(changed) > 3
    (sentence, *_) = advice(changed)
    assert sentence.startswith(f"No typeface here has {script} letters; install") or script in (
        "Japanese",
    )
    assert ".venv/bin/pip install -e '.[" in sentence
    stock = find_stock("a4-3x8-70x37")
    drawn = draw_tag(TagText("TP-017-7", name), stock)
    plain = draw_tag(TagText("TP-017-7", "Brake shoe, left side"), stock)
    assert code_height(drawn.image) == code_height(plain.image)


def code_height(image: Image.Image) -> int:
    """Rows of ink at the top right, where the code stands."""
    right = image.convert("L").crop((image.width // 2, 0, image.width, image.height))
    rows = [
        min(right.crop((0, y, right.width, y + 1)).tobytes()) < 128 for y in range(right.height)
    ]
    first = rows.index(True)
    return rows.index(False, first) - first


def test_european_letters_ask_no_other_typeface() -> None:
    """Nothing is looked for on the computer while there is no need."""
    forget()
    printable("Bremsbacke, größer × 2 ½")
    assert fonts._OF_SCRIPTS == []
    assert face_of("A") == 0
