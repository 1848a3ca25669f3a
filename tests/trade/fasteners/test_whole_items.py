"""Notes that list whole things: each is read as it is read alone (common practice, no source)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings, strategies as st

from tagbench.trade.fasteners.parser.items import whole_items
from tagbench.trade.fasteners.reading import read_fasteners
from tests.examples import examples

#: Several of a kind, with a size as it is said of them.
_THINGS = {
    "bolts": ("", "M8x35", "5/16 UNF x 1 1/4"),
    "grub screws": ("", "M6x20", "2BA x 3/4"),
    "dome nuts": ("M6", "5/16 UNF"),
    "penny washers": ("M8", "M10"),
    "O-rings": ("", "20x2"),
    "spacers": ("", "8x12x20"),
    "circlips": ("", "ext 20mm"),
    "rivets": ("",),
    "springs": ("",),
    "dowels": ("",),
}
_SORTS = ("long", "small", "rusty", "brass", "outer")
_WHERE = ("", "from the clutch cover", "(gearbox)")


@st.composite
def _item(draw: st.DrawFn, name: str) -> str:
    """`3 long dowels (gearbox)`, `rusty bolts M8x35 4 off`."""
    sort, where = draw(st.sampled_from(_SORTS)), draw(st.sampled_from(_WHERE))
    size, many = draw(st.sampled_from(_THINGS[name])), draw(st.sampled_from((2, 3, 4, 6)))
    front = f"{many} {sort} {name} {size}"
    behind = f"{sort} {name} {size} {many} off"
    said = draw(st.sampled_from((front, behind)))
    return " ".join(f"{said} {where}".split())


@st.composite
def _two(draw: st.DrawFn) -> tuple[str, str, str]:
    first, second = draw(st.permutations(sorted(_THINGS)))[:2]
    joint = draw(st.sampled_from((", ", " + ", " and ", " & ")))
    return draw(_item(first)), joint, draw(_item(second))


def _told(note: str) -> list[tuple[object, ...]]:
    return [
        (line.kind, line.quantity, line.thread, line.diameter, line.length, line.material)
        for line in read_fasteners(note).lines
    ]


@given(_two())
@settings(max_examples=examples(400), deadline=None)
def test_two_things_in_one_note_are_the_two_alone(two: tuple[str, str, str]) -> None:
    first, joint, second = two
    assert _told(f"{first}{joint}{second}") == [*_told(first), *_told(second)]


@pytest.mark.parametrize(
    ("note", "pieces"),
    [
        ("rivets x6 and 1 thick O-ring", ["rivets x6", "1 thick O-ring"]),
        ("cap screws 4 off + nylocs 4 off", ["cap screws 4 off", "nylocs 4 off"]),
        ("bolt M8x35 & washer M6", ["bolt M8x35", "washer M6"]),
        ("2 bolts 3 rusty circlips", ["2 bolts", "3 rusty circlips"]),
        # one says something of the other
        ("4 nuts, 8 washers M6", ["4 nuts, 8 washers M6"]),
        ("2 bolts with 2 thick washers", ["2 bolts with 2 thick washers"]),
        ("8 screws, 4 long screws", ["8 screws, 4 long screws"]),
        ("2 washers 10x20 + a spacer", ["2 washers 10x20 + a spacer"]),
        ("bolt and nut x4", ["bolt and nut x4"]),
        ("M5x12, M5x16, 2 each", ["M5x12, M5x16, 2 each"]),
        ("2 nuts M8, 13 key", ["2 nuts M8, 13 key"]),
        ("castle nut M12 + cotter pin 3x30", ["castle nut M12 + cotter pin 3x30"]),
        # parts of a machine, counts in brackets, remarks between
        ("4 nuts & 2 rusty brackets", ["4 nuts", "2 rusty brackets"]),
        ("2x bushes with (4) oil seals", ["2x bushes", "(4) oil seals"]),
        ("4 shims, to be plated, (2) old dowels", ["4 shims, to be plated", "(2) old dowels"]),
        ("8 fibre washers, 6 copper washers", ["8 fibre washers", "6 copper washers"]),
        ("2 bolts, one gearbox", ["2 bolts, one gearbox"]),
    ],
)
def test_a_note_is_cut_where_its_things_say_nothing_of_each_other(
    note: str, pieces: list[str]
) -> None:
    assert whole_items(note) == pieces


@pytest.mark.parametrize(
    ("note", "counts"),
    [
        ("4 bolts M6, one stuck", [4]),  # and no Stück
        ("snap ring, clutch drum, plus big washer", [1, 1]),  # the drum is where they sat
        ("9 bolts? maybe 10, M8", [9]),
        ("lockwire on both, sprocket", [1]),
        ("4 nuts, 2 washers, one washer bent", [4, 2]),
        ("injector clamp, washer, washer n.b.g.", [1, 1]),
        ("nut M8, washer, spare nut", [1, 1, 1]),  # but a spare one is one more
        ("4 nuts, washers went to the platers", [4]),
        ("4 bolts, springs in other bag", [4]),
    ],
)
def test_what_is_said_of_a_thing_is_no_further_thing(note: str, counts: list[int]) -> None:
    reading = read_fasteners(note)
    assert [line.quantity for line in reading.lines] == counts


@pytest.mark.parametrize(
    ("note", "counts"),
    [
        ("9 bolts? maybe 10, M8", {"count:9", "count:10"}),
        ("dozen M5 nyloc minus one", {"count:11", "count:12"}),
        ("long bolt top left, other three short", {"count:4", "count:1"}),
        ("2 washers per bolt, 4 bolts", {"count:4", "count:6", "count:8", "count:2"}),
        ("4 bolts + a nut", {"count:4", "count:1"}),
        ("4 M8x25, one 30 long", {"count:4", "count:5"}),
        ("2 BA nuts", {"thread:2BA", "count:2"}),
        ("circlip 2 piston", {"count:2", "diameter:2 mm"}),
        ("6 sprocket bolts less the snapped one", {"count:5", "count:6"}),
        ("there ought to be ten screws here but I can only find nine", {"count:9", "count:10"}),
        ("balls, 21 up, 21 under", {"count:42", "count:21"}),
        ("bolts: 3 M8x30, one M8x40, nylocs for all", {"count:4", "count:1"}),
        ("PJ 22 MJ 95", {"count:1", "count:22"}),
        ("nut M10 LH wheel", {"thread:M10x1.5 LH", "place:left"}),
        ("Mutter M12x1 links", {"thread:M12x1 LH", "place:left"}),
        ("Mutter M14 Feingew., 2 Scheiben", {"thread:M14x1.5", "thread:M14x1.25", "thread:M14x1"}),
        ("rondelles cuivre 4", {"count:4", "diameter:4 mm"}),
    ],
)
def test_how_many_is_asked_where_the_words_leave_it_open(note: str, counts: set[str]) -> None:
    asked = [{one.meaning for one in choice.options} for choice in read_fasteners(note).asks]
    assert counts in asked


@given(
    st.lists(
        st.tuples(
            st.sampled_from(("2 ", "", "3x ")),
            st.sampled_from(("brass", "copper", "stainless", "rubber", "fibre")),
            st.sampled_from(("nuts", "washers", "spacers", "circlips", "bushes")),
            st.sampled_from((" M6", "", " 4 off")),
        ),
        min_size=1,
        max_size=3,
    ),
    st.sampled_from((", ", " + ", " and ", " with ")),
    st.booleans(),
)
@settings(max_examples=examples(400), deadline=None)
def test_what_a_thing_is_made_of_is_not_lost(
    items: list[tuple[str, str, str, str]], joint: str, behind: bool
) -> None:
    """The metal before or behind the name, as typed: `copper circlips + 2 washers steel`."""
    said = [
        f"{many}{thing} {metal}{size}" if behind else f"{many}{metal} {thing}{size}"
        for many, metal, thing, size in items
    ]
    lines = read_fasteners(joint.join(said)).lines
    told = " ".join(" ".join((one.material, one.called, one.words, *one.locking)) for one in lines)
    for _, metal, _, _ in items:
        assert metal in told
