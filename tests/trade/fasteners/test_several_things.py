"""Notes that hold several things: each with its own count, size and name.

What a mechanic would write down for each of these is common practice, no source.
"""

from __future__ import annotations

import pytest

from tagbench.trade.fasteners.reading import read_fasteners


def _things(text: str) -> list[tuple[int, str, str]]:
    return [(line.quantity, line.kind, line.thread) for line in read_fasteners(text).lines]


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("hinge pin/washer/R-clip - tailgate", ["pin", "washer", "R-clip"]),
        ("split pin/castle nut/thrust washer, hub", ["cotter pin", "castle nut", "thrust washer"]),
        ("o-ring/gasket - petrol tap", ["O-ring", "gasket"]),
        ("circlip/thrust washer/spacer, idler", ["circlip", "thrust washer", "spacer"]),
    ],
)
def test_things_parted_by_a_slash_are_things_of_their_own(text: str, kinds: list[str]) -> None:
    assert [kind for _, kind, _ in _things(text)] == kinds


@pytest.mark.parametrize(
    ("text", "things"),
    [
        ("key + pulley nut M12x1.25", [(1, "key", ""), (1, "nut", "M12x1.25")]),
        ("woodruff key + crank nut 1/2 UNF", [(1, "key", ""), (1, "nut", "1/2-20 UNF")]),
        ("pawl pin plus 3 push-on washers", [(1, "pin", ""), (3, "washer", "")]),
        ("lever bush and 2 crinkle washers", [(1, "bush", ""), (2, "wave washer", "")]),
        ("pivot bush plus 14 fat dingles", [(1, "bush", ""), (14, "other", "")]),
        ("swivel pin, key, 2 thick washers", [(1, "pin", ""), (1, "key", ""), (2, "washer", "")]),
        ("1 M6 nut, 2 kickstart arm bolts M8x35", [(1, "nut", "M6x1"), (2, "bolt", "M8x1.25")]),
        ("1 R-clip, 1 chain guard screw M5x12", [(1, "R-clip", ""), (1, "screw", "M5x0.8")]),
        ("sleeve, M8x90 bolt", [(1, "spacer", ""), (1, "bolt", "M8x1.25")]),
        ("peg and 2 felt pads", [(1, "pin", ""), (2, "other", "")]),
        ("bolts, 2 bent nuts M6", [(1, "bolt", ""), (2, "nut", "M6x1")]),
    ],
)  # fmt: skip
def test_a_count_behind_a_joint_counts_what_follows(
    text: str, things: list[tuple[int, str, str]]
) -> None:
    """It is no size of what stood before, whatever words stand before the name."""
    assert _things(text) == things


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("1 points backplate, 3 pan M4x8", "points backplate"),
        ("2 gear lever rubbers, 1 hex M6x20", "gear lever rubbers"),
        ("1 gizmo bracket, 2 csk M5x12", "gizmo bracket"),
        ("2 door check straps, 4 pan M5x12", "door check straps"),
    ],
)
def test_a_thread_behind_a_counted_thing_is_not_that_of_the_thing(text: str, first: str) -> None:
    thing, screws = read_fasteners(text).lines
    assert (thing.kind, thing.thread) == ("other", "")
    assert first in thing.words
    assert screws.thread


def test_a_size_in_inches_behind_a_comma_is_that_of_the_nut_behind_it() -> None:
    first, second, nuts = read_fasteners("M8x35 x2, M8x50, 5/16 nut (3)").lines
    assert (first.quantity, first.length, second.quantity, second.length) == (2, 35, 1, 50)
    assert (nuts.quantity, nuts.kind, nuts.thread) == (3, "nut", "")


def test_both_behind_a_comma_count_what_was_named_before() -> None:
    (line,) = read_fasteners("plug washers off the sump, both copper").lines
    assert (line.quantity, line.kind, line.material) == (2, "washer", "copper")


def test_a_bearing_is_counted_before_its_number() -> None:
    bearing, spacer = read_fasteners("2 x 6203 off the wheel + spacer").lines
    assert (bearing.quantity, bearing.number, spacer.kind) == (2, "6203", "spacer")


@pytest.mark.parametrize(
    ("text", "balls"),
    [("top race: lock nut, 17 + 18 balls", 35), ("bush, 6+6 rollers", 12)],
)
def test_a_sum_in_a_list_counts_what_stands_behind_it(text: str, balls: int) -> None:
    reading = read_fasteners(text)
    assert reading.lines[-1].quantity == balls
    assert reading.whole
    assert not reading.asks


def test_so_many_behind_a_full_stop_are_so_many_of_each() -> None:
    assert [n for n, _, _ in _things("seat rubber, flat washer, M8x40 bolt. x4")] == [4, 4, 4]


@pytest.mark.parametrize(
    "text",
    ["2 long 3 short 1 nut - flap", "3 long 2 short 1 stud M6 - tin", "2 big 3 small 1 clip"],
)
def test_the_kind_of_the_last_is_not_that_of_the_sorts_before_it(text: str) -> None:
    first, second, last = read_fasteners(text).lines
    assert last.quantity == 1
    assert first.kind == second.kind != last.kind


def test_sorts_of_one_name_share_it() -> None:
    """`3 long 2 short screws`: the name behind the last sort is that of both."""
    assert [kind for _, kind, _ in _things("3 long 2 short screws M6")] == ["screw", "screw"]


def test_sorts_share_a_thread_whatever_is_counted_behind_them() -> None:
    first, second, washers = _things("4 long, 2 short M6, 4 washers")
    assert first == (4, "screw", "M6x1")
    assert second == (2, "screw", "M6x1")
    assert washers == (4, "washer", "")


@pytest.mark.parametrize(
    ("text", "many"),
    [("nut M8, chain tensioner (2)", 2), ("locknut M10, track rod (4)", 4)],
)
def test_a_count_in_brackets_behind_a_place_counts_the_fastener(text: str, many: int) -> None:
    (line,) = read_fasteners(text).lines
    assert line.quantity == many


@pytest.mark.parametrize(
    ("text", "kind", "place"),
    [
        ("DIN 933 M8x20 8.8 x2 exhaust clamp", "screw", "exhaust clamp"),
        ("ISO 4762 M5x16 x6 bearing", "screw", "bearing"),
        ("U bolts M10 front leaf spring, 2 per side", "U-bolt", "front leaf spring, per side"),
        ("M6x16 x2 rear brake clip", "screw", "rear brake clip"),
    ],
)
def test_a_part_behind_fasteners_with_their_sizes_is_where_they_sat(
    text: str, kind: str, place: str
) -> None:
    (line,) = read_fasteners(text).lines
    assert (line.kind, line.place) == (kind, place)


def test_a_class_stands_before_a_count() -> None:
    (line,) = read_fasteners("DIN 933 M8x20 8.8 x2 exhaust clamp").lines
    assert (line.grade, line.quantity) == ("8.8", 2)


@pytest.mark.parametrize("text", ["O-ring 24 ID x 3 oil filter", "O ring 30 od x 3"])
def test_a_figure_behind_the_inside_of_one_ring_is_asked(text: str) -> None:
    meanings = {option.meaning for choice in read_fasteners(text).asks for option in choice.options}
    assert "count:3" in meanings
    assert meanings & {"length:3 mm", "thickness:3 mm"}


def test_the_face_of_a_nut_is_no_place() -> None:
    (line,) = read_fasteners("10 wheel nuts M12x1.5 conical seat").lines
    assert (line.place, line.words) == ("", "conical seat")
