"""Typefaces: every European script prints, and what cannot be drawn is said."""

import unicodedata

import pytest
from fontTools.ttLib import TTFont
from PIL import Image

from labels.face.fonts import TYPEFACES, Style, covered, face_of, printable, runs
from labels.face.text import text_pieces, text_width

# Names of everyday things in the languages of Europe, one or more for each script and accent.
WORDS = {
    "Albanian": "çelës dhëmbëzor",
    "Armenian": "արգելակային կոճղակ",
    "Basque": "balazta-zapata ñ",
    "Belarusian": "тармазная калодка ў",
    "Bulgarian": "спирачна челюст",
    "Catalan": "sabata de fre col·lisió",
    "Croatian": "kočna čeljust đ ž ć",
    "Czech": "brzdová čelist ř ů ě",
    "Danish": "bremsesko ø å æ",
    "Dutch": "remschoen ĳ één",
    "Estonian": "piduriklots õ ä ö ü",
    "Faroese": "bremsuskógvur ð",
    "Finnish": "jarrukenkä",
    "French": "mâchoire de frein œ ç ë ÿ",
    "Georgian": "სამუხრუჭე ხუნდი",
    "German": "Bremsbacken, größer, Maß",
    "Greek": "σιαγόνα φρένου ΐ ώ",
    "Greek with breathings": "ἀρχή ὕδωρ ᾧ",
    "Hungarian": "fékpofa ő ű",
    "Icelandic": "bremsuskór þ ð",
    "Irish": "bróg choscáin ḃ ċ ṡ",
    "Italian": "ganascia del freno è ì",
    "Latvian": "bremžu loks ķ ļ ņ ģ",
    "Lithuanian": "stabdžių trinkelė ų į",
    "Macedonian": "сопирачка ѓ ќ џ",
    "Maltese": "żarbun ħ ġ",
    "Polish": "szczęka hamulcowa ł ż ź ń",
    "Portuguese": "sapata do travão ã õ",
    "Romanian": "sabot de frână ș ț ă î",
    "Russian": "тормозная колодка ё щ ъ",
    "Sami": "bisseheaddji ŋ ŧ đ",
    "Serbian": "кочиона папуча љ њ ћ ђ",
    "Slovak": "brzdová čeľusť ŕ ĺ",
    "Slovenian": "zavorna čeljust",
    "Spanish": "zapata de freno ñ ¿?",
    "Swedish": "bromsback å ä ö",
    "Turkish": "fren pabucu ğ ş ı İ",
    "Ukrainian": "гальмівна колодка ї є ґ",
    "Welsh": "esgid frêc ŵ ŷ",
    "signs": "⌀ 12 ± 0,05 mm → ½″ № 3 µm Ω ≤ 7° ✓ ☐ ② △",
}


@pytest.mark.parametrize("language", WORDS)
def test_the_words_of_a_language_are_drawn_with_real_letters(language: str) -> None:
    shown, changed = printable(WORDS[language])
    assert changed == ()
    assert shown == unicodedata.normalize("NFC", WORDS[language])
    assert all(face_of(character) is not None for character in shown)
    for bold in (False, True):
        pieces = text_pieces(shown, Style(50, bold))
        assert sum(sum(dots.convert("L").histogram()[255:]) for dots, _, _ in pieces) > 400


@pytest.mark.parametrize(
    ("script", "first", "last"),
    [("LATIN", 0x41, 0x24F), ("LATIN", 0x1E00, 0x1EFF), ("GREEK", 0x386, 0x3CE),
     ("CYRILLIC", 0x400, 0x52F), ("ARMENIAN", 0x531, 0x587), ("GEORGIAN", 0x10A0, 0x10FC)],
)  # fmt: skip
def test_whole_blocks_of_letters_are_covered(script: str, first: int, last: int) -> None:
    letters = [chr(code) for code in range(first, last + 1) if chr(code).isalpha()]
    named = [c for c in letters if unicodedata.name(c).startswith(script)]
    assert len(named) > 50
    assert [c for c in named if face_of(c) is None] == []


def test_no_letter_is_the_box_for_a_missing_one() -> None:
    """A letter of each face looks different from what the same font draws for no letter."""
    for letter in "ÅЖΩԲღ⌀→":
        face = face_of(letter)
        assert face is not None
        font = TYPEFACES[face].font(Style(60))
        blank = Image.Image.tobytes(_drawn(font, "\uffff"))
        assert Image.Image.tobytes(_drawn(font, letter)) != blank


def _drawn(font: object, letter: str) -> Image.Image:
    from PIL import ImageDraw

    picture = Image.new("1", (120, 120))
    ImageDraw.Draw(picture).text((10, 10), letter, font=font, fill=1)  # type: ignore[arg-type]
    return picture


@pytest.mark.parametrize("face", TYPEFACES, ids=lambda face: face.regular.name)
def test_coverage_is_what_fonttools_reads(face: object) -> None:
    """Second opinion: fontTools' own reading of the cmap table."""
    typeface = next(one for one in TYPEFACES if one is face)
    for path in {typeface.regular, typeface.bold}:
        assert covered(path) == frozenset(TTFont(path).getBestCmap())


@pytest.mark.parametrize(
    ("text", "shown", "changed"),
    [
        ("𒀀𒀁 brake", "?? brake", ("𒀀", "𒀁")),
        ("𝐊ick", "Kick", ("𝐊",)),
        ("bolt 🔩", "bolt ?", ("🔩",)),
        ("a\u200b\u0007b\tc\n d", "ab c d", ()),
        ("e\u0301", "é", ()),
    ],
)
def test_what_no_face_has_is_changed_visibly_and_reported(
    text: str, shown: str, changed: tuple[str, ...]
) -> None:
    assert printable(text) == (shown, changed)


def test_a_text_of_several_scripts_is_cut_into_runs() -> None:
    assert [part for _, part in runs("Arm Բար ღ")] == ["Arm ", "Բար", " ", "ღ"]


def test_length_grows_with_size_and_shrinks_with_width() -> None:
    text = "Front wheel / Brake 12"
    wide, narrow = text_width(text, Style(60)), text_width(text, Style(60, width=75))
    assert narrow < 0.9 * wide
    assert text_width(text, Style(120)) == pytest.approx(2 * wide, abs=12)


@pytest.mark.parametrize("size", [15, 22, 38, 45, 90])
@pytest.mark.parametrize("text", ["Kick start 118", "ŐŰ gjp", "Բար ღ ⌀ 12"])
def test_letters_lie_within_their_measured_length(size: int, text: str) -> None:
    style = Style(size, bold=True)
    pieces = text_pieces(text, style)
    assert min(right for _, right, _ in pieces) >= -0.1 * size
    assert max(right + dots.width for dots, right, _ in pieces) <= text_width(text, style) + 2
    assert all(down >= -1.15 * size for _, _, down in pieces)
    assert all(down + dots.height <= 0.35 * size + 1 for dots, _, down in pieces)
