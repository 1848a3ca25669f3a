"""Lists on bags whose count is known by how they were put together: no piece more, none less."""

from __future__ import annotations

from itertools import product
from typing import NamedTuple

import pytest
from hypothesis import given, settings, strategies as st

from tagbench.trade.fasteners.reading import FastenerReading, read_fasteners
from tests.examples import examples


class Item(NamedTuple):
    """One thing of a list."""

    text: str
    pieces: int
    kind: str


_COUNTS = st.integers(1, 24)
_SIZED = st.sampled_from(
    [
        ("M6x20", "screw"),
        ("M5x16", "screw"),
        ("M8x1.25x40", "screw"),
        ("1/4-20 x 3/4", "screw"),
        ("2BA x 1/2", "screw"),
        ("5/16 BSF x 1", "screw"),
    ]
)
_NAMED = st.sampled_from(
    [
        ("M8 nuts", "nut"),
        ("M6 bolts", "bolt"),
        ("castle nuts M12x1.25", "castle nut"),
        ("washers M8", "washer"),
        ("split pins 3.2x32", "cotter pin"),
        ("Muttern M8", "nut"),
        ("rondelles M6", "washer"),
        ("tornillos M6x20", "screw"),
        ("viti M5x12", "screw"),
    ]
)
_JOINS = st.sampled_from([", ", "; ", "\n"])
_PLACES = st.sampled_from(["front", "rear", "top", "bottom", "left", "right"])


def _pieces(reading: FastenerReading) -> int:
    return sum(line.quantity for line in reading.lines)


def _as_typed(count: int, text: str, way: str) -> str:
    before = {"x": f"{count}x {text}", "off": f"{count} off {text}", "of": f"{count} {text}"}
    behind = {"x behind": f"{text} x{count}", "brackets": f"{text} ({count})"}
    return (before | behind)[way]


@st.composite
def _items(draw: st.DrawFn) -> Item:
    text, kind = draw(_SIZED | _NAMED)
    count = draw(_COUNTS)
    # Behind a comma a nut or washer with the same count behind it sits on the screw before it.
    behind = ["x behind", "brackets"] if kind in ("screw", "bolt") else []
    way = draw(st.sampled_from(["x", "off", "of", *behind]))
    return Item(_as_typed(count, text, way), count, kind)


@given(st.lists(_items(), min_size=1, max_size=5), _JOINS)
@settings(max_examples=examples(100), deadline=None)
def test_every_item_of_a_list_is_counted_once(items: list[Item], join: str) -> None:
    reading = read_fasteners(join.join(item.text for item in items))
    assert [line.quantity for line in reading.lines] == [item.pieces for item in items]
    for line, item in zip(reading.lines, items, strict=True):
        # A bare size beside bolts is one of them; nothing else changes its kind.
        assert line.kind in (item.kind, "bolt" if item.kind == "screw" else item.kind)


@given(
    _SIZED,
    _SIZED,
    _COUNTS,
    st.sampled_from(["{}, {} (# each)", "# each: {}, {}", "{}, {}, # of each"]),
)
@settings(max_examples=examples(60), deadline=None)
def test_a_count_for_each_holds_for_both(
    first: tuple[str, str], second: tuple[str, str], count: int, way: str
) -> None:
    reading = read_fasteners(way.format(first[0], second[0]).replace("#", str(count)))
    assert [line.quantity for line in reading.lines] == [count, count]


@given(
    _SIZED,
    _SIZED,
    _COUNTS,
    _COUNTS,
    _PLACES,
    _PLACES,
    st.sampled_from(["{} {} {} {}", "{}: {}, {}: {}"]),
)
@settings(max_examples=examples(60), deadline=None)
def test_places_named_first_belong_to_what_follows(
    first: tuple[str, str],
    second: tuple[str, str],
    one: int,
    two: int,
    here: str,
    there: str,
    way: str,
) -> None:
    counted = f"{one}x {first[0]}", f"{two}x {second[0]}"
    reading = read_fasteners(way.format(here, counted[0], there, counted[1]))
    assert [(line.quantity, line.place) for line in reading.lines] == [(one, here), (two, there)]


@given(_COUNTS, st.sampled_from(["nuts and bolts", "bolts & washers", "screws and springs"]))
@settings(max_examples=examples(20), deadline=None)
def test_a_pair_of_plurals_is_as_many_of_both(count: int, pair: str) -> None:
    """Two lines with that count, or one whose every piece has the second thing on it."""
    reading = read_fasteners(f"{count} {pair} M6")
    assert {line.quantity for line in reading.lines} == {count}
    assert len(reading.lines) + sum(len(line.locking) for line in reading.lines) == 2


_REMARKS = st.sampled_from(
    [
        "no washer",
        "one is bent",
        "see bag 4",
        "not the long ones",
        "1 missing",
        "page 41 fig 3",
        "gap 0.4 mm",
        "one with a nut",
        "2 rusty",
        "part no 4417-23",
        "12/3/67",
    ]
)


@given(st.integers(2, 24), _NAMED, _REMARKS)
@settings(max_examples=examples(60), deadline=None)
def test_a_remark_counts_no_piece(count: int, named: tuple[str, str], remark: str) -> None:
    reading = read_fasteners(f"{count} {named[0]}, {remark}")
    assert _pieces(reading) == count
    kept = " ".join(f"{line.words} {line.place}" for line in reading.lines)
    assert all(word in kept for word in remark.split())


@given(_NAMED, st.integers(1, 12), st.sampled_from(["each side", "per side", "each end"]))
@settings(max_examples=examples(20), deadline=None)
def test_so_many_on_a_side_are_asked(named: tuple[str, str], count: int, side: str) -> None:
    """One side or both: nobody but the person knows."""
    reading = read_fasteners(f"{named[0]} {count} {side}")
    meanings = [{option.meaning for option in choice.options} for choice in reading.asks]
    assert {f"count:{count}", f"count:{2 * count}"} in meanings


@given(_NAMED)
@settings(max_examples=examples(20), deadline=None)
def test_a_plural_without_a_count_is_asked(named: tuple[str, str]) -> None:
    reading = read_fasteners(named[0])
    assert reading.asks
    assert any("does not say how many" in sentence for sentence in reading.answer())


_HEADS = st.sampled_from(
    [("bolts M6: ", ""), ("M6: ", ""), ("{sum} bolts M6: ", ""), ("{sum}x M6: ", ""),
     ("{sum} bolts M6 (", ")"), ("bolts: ", " M6"), ("sump: ", ", M6"), ("", "; M6")]
)  # fmt: skip
_EACH_LENGTH = st.sampled_from(
    ["{n} x {long}", "{n}x{long}", "{n} @ {long}", "{n} off {long}mm", "{n} de {long}",
     "{n} - {long}mm", "{long} x{n}", "{long}mm x {n}", "{long} ({n})",
     "{n} long {long}", "{long}mm - {n}"]
)  # fmt: skip
_BETWEEN = st.sampled_from([", ", " + ", " and ", " & ", " / "])
_LENGTHS = st.lists(
    st.sampled_from([16, 20, 25, 35, 45, 60, 110]), min_size=2, max_size=4, unique=True
)


@given(_HEADS, _EACH_LENGTH, _BETWEEN, _LENGTHS, st.data())
@settings(max_examples=examples(300), deadline=None)
def test_so_many_of_each_length_however_it_is_written(
    head: tuple[str, str], form: str, between: str, lengths: list[int], data: st.DataObject
) -> None:
    """Every length with its own count, of one thread, and their sum counted once."""
    counts = [data.draw(st.integers(1, 12)) for _ in lengths]
    items = between.join(
        form.format(n=n, long=long) for n, long in zip(counts, lengths, strict=True)
    )
    before, behind = head
    if "(" in before and "(" in form:
        return  # brackets in brackets
    reading = read_fasteners(f"{before.format(sum=sum(counts))}{items}{behind}")
    told = [(line.quantity, line.length, line.thread) for line in reading.lines]
    assert told == [(n, long, "M6x1") for n, long in zip(counts, lengths, strict=True)]


_EACH_THING = (
    "{n} {k}s", "{n}x {k}", "{n} x {k}s", "{n} off {k}", "{k}s {n}", "{k}s x{n}", "{k} x {n}",
    "{k}s ({n})", "{k} {n} off", "{k}s - {n}", "{k}s: {n}", "({n}) {k}s", "{n}-{k}s",
)  # fmt: skip
_BETWEEN_THINGS = (", ", " + ", " and ", " & ", " / ", " ")
_OVER = ("", "carb: ", "rear wheel - ")
_UNDER = ("", ", M6", " (rear)", ", gearbox", "; all M6")
_KINDS = (
    ("bolt", "nut", "washer", "clip"),
    ("nut", "washer", "clip", "bolt"),
    ("washer", "clip", "bolt", "nut"),
    ("clip", "bolt", "nut", "washer"),
)
_MANY = ((1, 1), (12, 3), (1, 1, 2), (2, 2, 1), (3, 1, 4), (4, 12, 6, 24), (24, 8, 1, 10))


@pytest.mark.sampled(9)
@pytest.mark.parametrize("between", _BETWEEN_THINGS)
@pytest.mark.parametrize("form", _EACH_THING)
def test_so_many_of_each_thing_however_it_is_written(form: str, between: str) -> None:
    for over, under, kinds, counts in product(_OVER, _UNDER, _KINDS, _MANY):
        wanted = list(zip(counts, kinds, strict=False))
        items = between.join(form.format(n=n, k=k) for n, k in wanted)
        reading = read_fasteners(f"{over}{items}{under}")
        told = [(line.quantity, line.kind) for line in reading.lines]
        assert told == wanted, f"{over}{items}{under}"
