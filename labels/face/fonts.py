"""Which typeface can draw which character: every European script prints, or is said not to.

Noto Sans draws Latin, Greek and Cyrillic in any weight and width; the faces in `typefaces`
add Armenian, Georgian and signs. A character that no face has is never drawn as a box:
`printable` changes it for one that can be drawn and says so.
"""

import struct
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

import fontpkg_noto_sans
from PIL import ImageFont

from labels.face.scripts import Script, find_typeface, how_to_get, script_of

_HERE = Path(__file__).parent.parent / "typefaces"
UNDRAWABLE = "?"
"""Stands for a character that no face has and that has no plain letter within it."""


class Style(NamedTuple):
    """How a run of text is drawn."""

    size: int
    """Height of the em in dots; a capital is 0.714 of it."""
    bold: bool = False
    width: int = 100
    """Width of the letters in per cent, 62 to 100; only Latin, Greek and Cyrillic narrow."""


CAPITAL = 0.714
"""Height of a capital letter in ems, in all the faces used here."""
RISE = CAPITAL + 0.016
"""Height that round capitals and digits reach above the baseline in ems."""
ASCENT, DESCENT = 0.98, 0.26
"""Room above and below the baseline in ems: capitals with accents, and letters with tails."""


@dataclass(frozen=True, slots=True)
class Typeface:
    """One family of font files that can draw some characters."""

    regular: Path
    bold: Path
    varies: bool = False
    """Whether weight and width are axes of one file."""
    index: int = 0
    """Which font of a collection (`.ttc`)."""
    scale: float = 1.0
    """Smaller than the style says, where its letters reach further up or down than Latin ones."""

    def font(self, style: Style) -> ImageFont.FreeTypeFont:
        size = max(1, round(style.size * self.scale))
        path = self.bold if style.bold else self.regular
        font = ImageFont.truetype(str(path), size, index=self.index)
        if self.varies:
            font.set_variation_by_axes([700 if style.bold else 400, style.width])
        elif _has_weights(path):
            _set_weight(font, 700 if style.bold else 400)
        return font


@cache
def _has_weights(path: Path) -> bool:
    """Whether a font file has axes (an `fvar` table)."""
    return b"fvar" in _tables(path.read_bytes()[:4096])


def _tables(head: bytes) -> list[bytes]:
    """The names of the tables in the head of a font file."""
    count = struct.unpack_from(">H", head, 4)[0]
    return [head[12 + 16 * at : 16 + 16 * at] for at in range(count)]


def _set_weight(font: ImageFont.FreeTypeFont, weight: int) -> None:
    """Regular or bold of a font with axes; the other axes stay as they are by default."""
    axes = font.get_variation_axes()
    values = [
        min(max(weight, axis["minimum"] or 0), axis["maximum"] or weight)
        if axis["name"] in (b"Weight", "Weight")
        else axis["default"] or 0
        for axis in axes
    ]
    font.set_variation_by_axes([float(value or 0) for value in values])


def _typefaces() -> tuple[Typeface, ...]:
    noto = fontpkg_noto_sans.ROOT / "files" / "NotoSans[wdth,wght].ttf"
    scripts = [
        Typeface(_HERE / f"NotoSans{script}-Regular.ttf", _HERE / f"NotoSans{script}-Bold.ttf")
        for script in ("Armenian", "Georgian")
    ]
    signs = [
        Typeface(_HERE / f"NotoSans{name}-part.ttf", _HERE / f"NotoSans{name}-part.ttf")
        for name in ("Math", "Symbols", "Symbols2")
    ]
    return (Typeface(noto, noto, varies=True), *scripts, *signs)


TYPEFACES = _typefaces()
"""Those that are always there."""
_OF_SCRIPTS: list[Typeface] = []
"""Those of other scripts, from packages and from this computer, as they are first wanted."""


@lru_cache(maxsize=48)
def font_for(face: int, style: Style) -> ImageFont.FreeTypeFont:
    """The font of typeface number `face` in a style."""
    return _typeface(face).font(style)


def _typeface(face: int) -> Typeface:
    own = len(TYPEFACES)
    return TYPEFACES[face] if face < own else _OF_SCRIPTS[face - own]


@cache
def _face_of_script(script: Script) -> int | None:
    """The number of a script's typeface; None where this computer has none."""
    found = find_typeface(script)
    if found is None:
        return None
    _OF_SCRIPTS.append(Typeface(found.regular, found.bold, index=found.index, scale=script.scale))
    return len(TYPEFACES) + len(_OF_SCRIPTS) - 1


@cache
def _characters(face: int) -> frozenset[int]:
    return covered(_typeface(face).regular, _typeface(face).index)


@lru_cache(maxsize=8192)
def face_of(character: str) -> int | None:
    """The number of the first typeface that has the character; None if no face has it."""
    for face in range(len(TYPEFACES)):
        if ord(character) in _characters(face):
            return face
    script = script_of(character)
    found = _face_of_script(script) if script else None
    return found if found is not None and ord(character) in _characters(found) else None


def runs(text: str) -> list[tuple[int, str]]:
    """The text cut where the typeface changes: (typeface, part) in order.

    A combining mark stays with the letter before it. The text must be `printable`.
    """
    faces: list[int] = []
    for character in text:
        own = face_of(character) or 0
        if unicodedata.combining(character) and faces:
            own = faces[-1]
        faces.append(own)
    pairs = zip(faces, text, strict=True)
    return [
        (face, "".join(character for _, character in run))
        for face, run in groupby(pairs, key=lambda pair: pair[0])
    ]


@lru_cache(maxsize=1024)
def printable(text: str) -> tuple[str, tuple[str, ...]]:
    """The text as it can be drawn, and the characters that had to be changed for that.

    White space becomes single blanks and control characters go; those are not reported.
    """
    plain = unicodedata.normalize("NFC", " ".join(text.split()))
    drawn: list[str] = []
    changed = []
    for character in plain:
        if unicodedata.category(character) in ("Cc", "Cf", "Cs", "Co"):
            continue
        if face_of(character) is not None:
            drawn.append(character)
            continue
        script = script_of(character)
        stand_in = _in_place_of(script, drawn) if script else _nearest(character)
        if stand_in != "".join(drawn[-1:]) or not script:
            drawn.append(stand_in)
        changed.append(character)
    return "".join(drawn), tuple(dict.fromkeys(changed))


def _in_place_of(script: Script, drawn: list[str]) -> str:
    """What stands for words in a script that nothing here can draw: once where to get letters for
    it, then its name; words of it that follow one another are said once."""
    told = f": install {script.debian}]"
    again = f"[{script.name}]"
    while len(drawn) > 1 and drawn[-1] == " " and (drawn[-2].endswith(told) or drawn[-2] == again):
        drawn.pop()
    if drawn and (drawn[-1].endswith(told) or drawn[-1] == again):
        return drawn[-1]
    return again if any(one.endswith(told) for one in drawn) else f"[{script.name}{told}"


def _nearest(character: str) -> str:
    """The plain letters within a character (ﬀ → ff, 𝐊 → K), or a question mark."""
    plain = unicodedata.normalize("NFKD", character)
    kept = "".join(c for c in plain if face_of(c) is not None and not unicodedata.combining(c))
    return kept or UNDRAWABLE


def advice(characters: Iterable[str]) -> tuple[str, ...]:
    """What to do about characters that could not be drawn, a sentence for each script."""
    scripts = dict.fromkeys(script for one in characters if (script := script_of(one)))
    return tuple(how_to_get(script) for script in scripts if _face_of_script(script) is None)


def covered(path: Path, index: int = 0) -> frozenset[int]:
    """The characters a TrueType file has, from its `cmap` table (formats 4 and 12); `index` says
    which font of a collection."""
    data = path.read_bytes()
    head = struct.unpack_from(">I", data, 12 + 4 * index)[0] if data[:4] == b"ttcf" else 0
    tables = struct.unpack_from(">H", data, head + 4)[0]
    records = (struct.unpack_from(">4sIII", data, head + 12 + 16 * at) for at in range(tables))
    start = next(offset for tag, _, offset, _ in records if tag == b"cmap")
    found: set[int] = set()
    for at in range(struct.unpack_from(">H", data, start + 2)[0]):
        _, _, offset = struct.unpack_from(">HHI", data, start + 4 + 8 * at)
        found |= _subtable(data, start + offset)
    return frozenset(found)


def _subtable(data: bytes, start: int) -> set[int]:
    kind = struct.unpack_from(">H", data, start)[0]
    if kind == 12:
        count = struct.unpack_from(">I", data, start + 12)[0]
        groups = (struct.unpack_from(">III", data, start + 16 + 12 * g) for g in range(count))
        return {code for first, last, _ in groups for code in range(first, last + 1)}
    return _segments(data, start) if kind == 4 else set()


def _segments(data: bytes, start: int) -> set[int]:
    """Format 4: segments of codes; those that lead to glyph 0 are not in the font."""
    count = struct.unpack_from(">H", data, start + 6)[0] // 2
    ends = struct.unpack_from(f">{count}H", data, start + 14)
    starts = struct.unpack_from(f">{count}H", data, start + 16 + 2 * count)
    deltas = struct.unpack_from(f">{count}H", data, start + 16 + 4 * count)
    base = start + 16 + 6 * count
    found = set()
    for at, (first, last, delta) in enumerate(zip(starts, ends, deltas, strict=True)):
        offset = struct.unpack_from(">H", data, base + 2 * at)[0]
        for code in range(first, last + 1):
            glyph = code
            if offset:
                place = base + 2 * at + offset + 2 * (code - first)
                glyph = struct.unpack_from(">H", data, place)[0]
                if not glyph:
                    continue
            if (glyph + delta) & 0xFFFF and code != 0xFFFF:
                found.add(code)
    return found
