"""The short form of a fastener: read as people type it, spelled in one way that reads back.

43–58 lbf·ft is common practice, no source.
"""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given, strategies as st

from tagbench.records import Fastener, Torque
from tagbench.trade.fasteners.notes import locking_notes
from tagbench.trade.fasteners.reading import NotUnderstood, read_fasteners
from tagbench.trade.fasteners.spelling import is_threaded, spell, spell_all
from tagbench.trade.fasteners.text import parse_fasteners
from tagbench.trade.fasteners.vocabulary import (
    THREADED_KINDS,
    is_single_use,
    lock_item,
    single_use_items,
)
from tagbench.trade.threads import all_threads
from tests.fasteners import parse_fastener


def _untyped(fastener: Fastener) -> Fastener:
    torque = fastener.torque and msgspec.structs.replace(fastener.torque, typed="")
    return msgspec.structs.replace(fastener, typed="", torque=torque, chosen=())


@pytest.mark.parametrize(
    ("typed", "standard"),
    [
        ("4x M5x0.8x12 pan", "4x M5x0.8x12 pan"),
        ("2 × 1/4-20 x 3/4 hex grade 5", "2x 1/4-20 UNC x 3/4 hex grade 5"),
        ("#10-32 x 1/2", "#10-32 UNF x 1/2"),
        ("cotter pin 3.2x32", "cotter pin 3.2x32"),
        ("split pin 3,2 x 32 mm", "split pin 3.2x32"),
        ("castle nut M12x1.25", "castle nut M12x1.25"),
        ("4 off M6 x 20 socket 8.8 zinc", "4x M6x1x20 socket 8.8 zinc"),
        ("2x M8 nut", "2x nut M8x1.25"),
        ("spring washer M8", "spring washer M8"),
        ("woodruff key 3x13", "woodruff key 3x13"),
        ("3x13 woodruff key", "woodruff key 3x13"),
        ("circlip 20", "circlip 20"),
        ("4 x M5 x 12", "4x M5x0.8x12"),
        ("4xM5x12 csk", "4x M5x0.8x12 countersunk"),
        ("M12x1.25", "M12x1.25"),
        ("M5x4 grub", "M5x0.8x4 grub"),
        ("four M5x12 pan head screws (backing plate)", "4x M5x0.8x12 pan (backing plate)"),
        ("4pcs M5 x 0,8 x 12 slotted cheese", "4x M5x0.8x12 cheese slot"),
        ("hex M6x16 bolt, 4 off", "4x M6x1x16 hex bolt"),
        ("4 1/4-20 x 3/4 hex", "4x 1/4-20 UNC x 3/4 hex"),
        ("4 x 10-32 x 1/2 rd", "4x #10-32 UNF x 1/2 round"),
        ('1/4W x 1" hex', "1/4 BSW x 1 hex"),
        ("2 BA x 1/2 cheese brass", "2BA x 1/2 in cheese brass"),
        ("5/16x26 CEI nut", "nut 5/16-26 BSC"),
        ("M8x25 LH stud", "M8x1.25 LH x 25 stud"),
        ("1/4-20 x 20 mm", "1/4-20 UNC x 20 mm"),
        ("M6x20 hex 8.8 + lock washer, 8-10 N·m (upper)", None),
        ("M6 x 20 hex @ 8 to 10 ft-lb [manual p. 12]", "M6x1x20 hex, 8-10 lbf·ft [manual p. 12]"),
        (
            "M8x40 bolt w/ spring washer and threadlocker",
            "M8x1.25x40 bolt + spring washer + threadlocker",
        ),
        ("castle nut M12x1.25 cotter pin", "castle nut M12x1.25 + cotter pin"),
        ("castle nut M12x1.25 + cotter pin 3.2 x 22, 43–58 lbf·ft", None),
        ("M6x12 hex socket csk 10.9", "M6x1x12 countersunk hex socket 10.9"),
        ("M6x12 A2-70 raised csk cross", "M6x1x12 raised countersunk cross A2-70"),
        ("2x copper washer 14x20x1.5", "2x copper washer 14x20x1.5"),
        ("key 5x5x20", "key 5x5x20"),
        ("2x dowel Ø5x20", "2x dowel 5x20"),
        ("4 M8 nuts and spring washers", "4x nut M8x1.25 + spring washers"),
        ("M6*20 pan-head s/s", "M6x1x20 pan stainless"),
        ("E-clip 6", "E-clip 6"),
        ("cotter pin 1/8 x 1", "cotter pin 1/8 x 1 in"),
        ("No. 8 x 3/4 csk wood screw brass", "countersunk wood screw #8 x 3/4 brass"),
        ("2x M6 wing nut", "2x wing nut M6x1"),
        ("M6x20 hex, note: rusty, get a new one", None),
        ("gasket paper", "gasket paper"),
        ("4x pan", "4x pan"),
        ("M6x20 x4", "4x M6x1x20"),
        ("M5x0.8x12 pan head screws x 4", "4x M5x0.8x12 pan"),
        ("M8 nuts x 4", "4x nut M8x1.25"),
        ("4 BA nuts x 6", "6x nut 4BA"),
        ("M6 bolt x 20", "M6x1x20 bolt"),
        ("steel balls 1/4 x 22", "22x steel balls 1/4 in"),
        ("(4) M5x12", "4x M5x0.8x12"),
        ("M5x12 pan (x4)", "4x M5x0.8x12 pan"),
        ("M5x12 (4 off)", "4x M5x0.8x12"),
        ("M5x12 - 4 off", "4x M5x0.8x12"),
        ("4-M5x12", "4x M5x0.8x12"),
        ("3 no. M5x12", "3x M5x0.8x12"),
        ("2x M5x12 (4)", "2x M5x0.8x12 (4)"),
        ("1x M5x12 (4)", "1x M5x0.8x12 (4)"),
        ('split pin 1/8" x 1"', "split pin 1/8 x 1 in"),
        ("split pin 3.2mm x 32mm", "split pin 3.2x32"),
        ("hose clip 12-20", "hose clip, note: 12-20 mm"),
        ("lag screw 8x50", "lag screw 8x50 mm"),
        ("2x M8 thread insert", "2x thread insert M8x1.25"),
        ("2x connecting link", "2x connecting link"),
        ("safety wire 0.8 mm", "safety wire 0.8"),
        ("M6x20, 8 N·m [manual, p. 3 (second edition), sheet 2] (left)", None),
        ("M6x20 (left), note: bent (see photo)", "M6x1x20 (left), note: bent (see photo)"),
    ],
)
def test_what_is_typed_is_spelled_in_one_way(typed: str, standard: str | None) -> None:
    found = parse_fastener(typed)
    assert found.typed == typed
    if standard is not None:
        assert spell(found) == standard
    assert _untyped(parse_fastener(spell(found))) == _untyped(
        msgspec.structs.replace(found, note=found.note.replace(";", ","))
    )


@pytest.mark.parametrize(
    ("typed", "standard"),
    [
        ("M8x40 bolt w/ nut and spring washer", "M8x1.25x40 bolt + spring washer; nut M8x1.25"),
        ("M8x40 bolt with M8 nut", "M8x1.25x40 bolt; nut M8x1.25"),
        ("banjo bolt M10x1 + 2 copper washers", "M10x1 banjo bolt; 2x copper washers"),
        ("drain plug M14x1.5 + copper washer", "drain plug M14x1.5; copper washer"),
        ("3 bolts M6x30 with nuts", "3x M6x1x30 bolt; 3x nut M6x1"),
        ("stud M8x50 + castle nut + split pin", "M8x1.25x50 stud; castle nut + split pin"),
        ("2 bolts M10x90 with 2 washers each", "2x M10x1.5x90 bolt (each); 4x washer"),
        ("5 tuercas M6 con arandelas", "5x tuercas M6x1; 5x arandelas"),
    ],
)
def test_nuts_and_washers_on_a_fastener_are_pieces(typed: str, standard: str) -> None:
    """Each can be lost, so each is counted; what only locks stays with its fastener."""
    found = parse_fasteners(typed)
    assert spell_all(found) == standard
    assert spell_all(parse_fasteners(standard)) == standard


def test_what_locks_keeps_the_word_of_the_person() -> None:
    """What it does is known all the same: renewed, and told on the rebuild."""
    found = parse_fastener("3 Schrauben M6x16 mit Federringen")
    assert found.locking == ("Federringen",)
    assert found.single_use
    assert lock_item("Federringen") == "lock washer"
    assert locking_notes(parse_fastener("Kronenmutter M12 + Splint 3x25")) == locking_notes(
        parse_fastener("castle nut M12 + cotter pin 3x25")
    )


def test_one_nut_named_with_several_bolts_is_asked() -> None:
    (bolts, nuts), (choice,) = (
        (reading := read_fasteners("6 bolts M5x16 with washer")).lines,
        reading.asks,
    )
    assert (bolts.quantity, nuts.quantity) == (6, 6)
    assert [option.meaning for option in choice.options] == ["count:6", "count:1"]


def test_every_field_is_filled() -> None:
    found = parse_fastener(
        "4x M6x20 hex 8.8 zinc + lock washer + thread lock, 8-10 N·m [manual p. 12]"
        " (long one at 6 o'clock)"
    )
    assert found == Fastener(
        quantity=4,
        kind="screw",
        thread="M6x1",
        length=20.0,
        head="hex",
        grade="8.8",
        material="zinc",
        place="long one at 6 o'clock",
        locking=("lock washer", "thread lock"),
        single_use=True,
        torque=Torque(low=8, high=10, unit="N·m", source="manual p. 12", typed="8-10 N·m"),
        typed=found.typed,
    )


@pytest.mark.parametrize(
    ("text", "thread", "length", "unit"),
    [
        ("M5x12", "M5x0.8", 12.0, "mm"),
        ("M5x0.8", "M5x0.8", None, "mm"),
        ("M12x1.25", "M12x1.25", None, "mm"),
        ("M6x1", "M6x1", None, "mm"),
        ("M6x10", "M6x1", 10.0, "mm"),
        ("M30x2x80", "M30x2", 80.0, "mm"),
        ("#10-32 x 1/2", "#10-32 UNF", 0.5, "in"),
        ("1/4-20 x 1", "1/4-20 UNC", 1.0, "in"),
        ("1/4-20 x 1-1/4 in", "1/4-20 UNC", 1.25, "in"),
        ("M6 x 1/2 in", "M6x1", 0.5, "in"),
        ("M6 hex 20 mm", "M6x1", 20.0, "mm"),
        ("M6 x 2 cm", "M6x1", 20.0, "mm"),
    ],
)
def test_pitch_and_length_are_told_apart(
    text: str, thread: str, length: float | None, unit: str
) -> None:
    found = parse_fastener(text)
    assert (found.thread, found.length, found.length_unit) == (thread, length, unit)


def test_several_are_separated_with_semicolons_and_line_ends() -> None:
    found = parse_fasteners("4x M5x12 pan; 2x M8 nut (left; inner)\n\ncotter pin 2x16;")
    assert [each.quantity for each in found] == [4, 2, 1]
    assert found[1].place == "left; inner"
    assert spell_all(found) == "4x M5x0.8x12 pan; 2x nut M8x1.25 (left; inner); cotter pin 2x16"
    assert parse_fasteners("  \n ; ") == ()
    assert parse_fasteners("M6x20, 8 N·m [page 2; sheet 3 (new)]")[0].torque == Torque(
        low=8, high=8, source="page 2; sheet 3 (new)", typed="8 N·m"
    )


@pytest.mark.parametrize(
    ("text", "once"),
    [
        ("cotter pin 3.2x32", True),
        ("gasket", True),
        ("copper washer 14x20", True),
        ("crush washer 14", True),
        ("M8 self-locking nut", True),
        ("tab washer M10", True),
        ("lock washer M8", True),
        ("castle nut M12 + cotter pin", True),
        ("castle nut M12", False),
        ("washer M8", False),
        ("M8 nut", False),
        ("M6x20 hex", False),
        ("circlip 20", False),
        ("M8x20 hex single-use", True),
        ("lock washer M8 reusable", False),
    ],
)
def test_single_use_is_known_from_the_kind(text: str, once: bool) -> None:
    """Cotter pins: AC 43.13-1B 7-127; the others common practice, no source."""
    found = parse_fastener(text)
    assert found.single_use is once
    assert parse_fastener(spell(found)).single_use is once


def test_what_is_renewed_is_named() -> None:
    assert single_use_items("castle nut", "", ("cotter pin 3.2x22",)) == ("cotter pin",)
    assert single_use_items("washer", "copper", ()) == ("copper washer",)


@pytest.mark.parametrize(
    ("text", "understood", "words"),
    [
        ("4x M5x12 countersnk", "4x M5x0.8x12", "countersnk"),
        ("banana", "", "banana"),
        ("4x", "4x", ""),
        ("8mm bolt", "bolt", "8mm"),
        ("0x M5x12", "M5x0.8x12", "0x"),
        ("M10x4", "M10x1.5", "x4"),
        ("#10 x 1/2 pan", "pan screw 1/2 in long", "#10"),
        ("M6x20 hex pan", "M6x1x20 hex", "pan"),
        ("M6x20 hex (left", "M6x1x20 hex (left)", ""),
        ("1/4-20 x 20", "1/4-20 UNC", "x 20"),
        ("M6x20 glitter", "M6x1x20", "glitter"),
        ("M6x20, 10-8 N·m", "M6x1x20", "10-8 N·m"),
        ("M6x20/25", "M6x1", "x20/25"),
        ("1 1/4 UNC", "screw", "1 1/4 UNC"),
    ],
)
def test_what_is_not_understood_is_kept_word_for_word(
    text: str, understood: str, words: str
) -> None:
    """The rest of the line stands; the doubtful word is neither guessed nor lost."""
    found = parse_fastener(text)
    assert found.words == words
    assert spell(msgspec.structs.replace(found, words="")) == understood
    assert _untyped(parse_fastener(spell(found))) == _untyped(found)


@pytest.mark.parametrize("text", ["M5x12\x00", "nut\x1b[31m", "\x07"])
def test_control_characters_are_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(NotUnderstood, match="control character"):
        parse_fasteners(text)


def test_a_note_alone_is_kept() -> None:
    """Books of older versions hold lines that are nothing but a note."""
    old = Fastener(kind="other", note="two odd clips, bent", quantity=2)
    assert _untyped(parse_fastener(spell(old))) == old
    placed = msgspec.structs.replace(old, place="left")
    assert _untyped(parse_fastener(spell(placed))) == placed


def test_only_what_has_a_thread_can_be_mixed_up() -> None:
    assert is_threaded(parse_fastener("2x M8 nut"))
    assert not is_threaded(parse_fastener("lock washer M8"))
    assert not is_threaded(parse_fastener("4x pan"))


_HEADS = ["", "pan", "hex", "cheese", "countersunk", "raised countersunk", "round", "socket"]
_NAMES = st.sampled_from(["left", "long one at 6 o'clock", "upper left", "by the tank", "4", "x4"])
_LOCKING = st.sampled_from(["thread lock", "tab washer", "lock wire", "cotter pin 3.2x32"])
_INCHES = st.integers(1, 6 * 64).map(lambda parts: parts / 64)
_MILLIMETRES = st.integers(25, 2000).map(lambda tenths: tenths / 10)


@st.composite
def _torques(draw: st.DrawFn) -> Torque:
    low = draw(st.integers(0, 2000)) / 8 + 0.125
    return Torque(
        low=low,
        high=low + draw(st.integers(0, 80)) / 4,
        unit=draw(st.sampled_from(["N·m", "lbf·ft", "lbf·in", "kgf·m", "kgf·cm"])),
        source=draw(st.sampled_from(["", "manual p. 12", "manual, section H1 (invented)"])),
        estimate=draw(st.booleans()),
    )


@st.composite
def _fasteners(draw: st.DrawFn) -> Fastener:
    threaded = draw(st.booleans())
    kinds = ["screw", "bolt", "stud", "nut", "castle nut", "self-locking nut"]
    others = ["washer", "lock washer", "cotter pin", "circlip", "rivet", "key", "dowel pin"]
    kind = draw(st.sampled_from(kinds if threaded else others))
    inches = draw(st.booleans())
    length = draw(_INCHES if inches else _MILLIMETRES)
    long = "nut" not in kind and draw(st.booleans())
    locking = draw(
        st.lists(st.sampled_from(["thread lock", "tab washer", "lock wire"]), max_size=2)
    )
    head = draw(st.sampled_from(_HEADS)) if kind in ("screw", "bolt") else ""
    slotted = kind == "screw" and head != "socket"  # a socket head has its drive in its name
    material = draw(st.sampled_from(["", "zinc", "brass", "stainless"]))
    once = is_single_use(kind, material, tuple(locking))
    return Fastener(
        quantity=draw(st.integers(1, 200)),
        kind=kind,
        thread=draw(st.sampled_from(all_threads())).designation if threaded else "",
        diameter=None if threaded else draw(_INCHES if inches else _MILLIMETRES),
        length=length if long or (not threaded and draw(st.booleans())) else None,
        length_unit="in" if inches and (long or not threaded) else "mm",
        head=head,
        drive=draw(st.sampled_from(["", "slot", "cross"])) if slotted else "",
        grade=draw(st.sampled_from(["", "8.8", "grade 5", "A2-70"])) if threaded else "",
        material=material,
        place=draw(st.one_of(st.just(""), _NAMES)),
        locking=tuple(locking),
        single_use=once != draw(st.booleans()),
        torque=draw(st.one_of(st.none(), _torques())),
        note=draw(st.sampled_from(["", "rusty, 1.5 thick", "bent (see photo)"])),
    )


def test_a_place_that_is_a_figure_stands_apart_from_the_torque() -> None:
    """Number 4 of a row, 0.125 N·m: it is kept as the place, and not once more in the words."""
    line = parse_fastener("1x washer M2.5, 0.125 N·m (4)")
    assert (line.place, line.words) == ("4", "")


@given(_fasteners())
def test_the_standard_spelling_reads_back_to_the_same_record(fastener: Fastener) -> None:
    shown = spell(fastener)
    assert _untyped(parse_fastener(shown)) == fastener
    assert spell(parse_fastener(shown)) == shown
    assert is_threaded(fastener) == (fastener.kind in THREADED_KINDS)
