"""A note that names no fastener: a thing of the bag, or only a remark; what is not here is never
booked as one more. Common practice, no source."""

from __future__ import annotations

import pytest

from tagbench.trade.fasteners.reading import read_fasteners


@pytest.mark.parametrize(
    "typed",
    [
        "ask Mum where the spare one goes",
        "needs a bush, upper arm",
        "nuts are in bag 12",
        "greased 14/2",
        "all painted in spring",
        "todo: chase threads with M6 tap",
        "2 nuts missing from the hub",
    ],
)
def test_a_remark_is_asked_about_and_leaves_no_piece(typed: str) -> None:
    reading = read_fasteners(typed)
    choice = reading.asks[-1]
    assert [option.meaning for option in choice.options] == ["remark", "thing"]
    assert any("only a remark" in sentence for sentence in reading.answer())
    remark = read_fasteners(typed, {choice.token: "remark"})
    assert not remark.lines
    assert remark.none == (typed,)
    thing = read_fasteners(typed, {choice.token: "thing"})
    assert len(thing.lines) == 1
    assert choice.token not in [one.token for one in thing.asks]


@pytest.mark.parametrize(
    "typed",
    [
        "fuse 15A",
        "footrest rubber",
        "plug cap",
        "cable nipple 6x8",
        "4 M6x20, one missing",
        "2 bushes",
    ],
)
def test_a_thing_is_not_asked_about(typed: str) -> None:
    assert not [one for one in read_fasteners(typed).asks if one.options[0].meaning == "remark"]


@pytest.mark.parametrize(
    ("typed", "counts", "kept"),
    [
        ("3 studs with nuts, one nut missing", [3, 3], "one nut missing"),
        ("2 dowels, one stuck in the half", [2], "one stuck in the half"),
        ("spindle nut M14, washer was cracked, binned it", [1], "washer was cracked"),
        ("4 nuts M7, studs stay in", [4], "studs stay in"),
        ("5 bolts M6x30, nuts are in bag 12", [5], "nuts are in bag 12"),
        ("M6 rivet nut, 1 spun, cut out", [1], "1 spun, cut out"),
        ("cinco tornillos M6x20, 1 pasado de rosca", [5], "1 pasado de rosca"),
    ],
)
def test_what_is_not_here_is_not_one_more(typed: str, counts: list[int], kept: str) -> None:
    reading = read_fasteners(typed)
    assert [line.quantity for line in reading.lines] == counts
    said = " ".join((*(line.words for line in reading.lines), *reading.none))
    assert kept in said


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("3 allen bolts M6 (30, 40) fan cover", "(30, 40)"),
        ("8 bolts M6x25 (6 long, 2 short)", "(6 long, 2 short)"),
        ("2 balls (steel 6mm)", "(steel 6mm)"),
        ("2 spacers (longer one on the left)", "(longer one on the left)"),
    ],
)
def test_figures_in_brackets_are_no_place(typed: str, words: str) -> None:
    (line,) = read_fasteners(typed).lines
    assert line.words == words
    assert not any(figure in line.place for figure in "0123456789(")


def test_a_length_in_brackets_behind_its_thread_is_one() -> None:
    (line,) = read_fasteners("2 short M6 (20mm)").lines
    assert (line.thread, line.length) == ("M6x1", 20)


def test_a_place_in_brackets_stays_one_with_its_number() -> None:
    (line,) = read_fasteners("2 circlips (for 15mm gudgeon pin)").lines
    assert line.place == "for 15mm gudgeon pin"


@pytest.mark.parametrize(
    ("typed", "counts", "asked"),
    [
        ("4 bolts M8 with a nut and a washer", [4, 4, 4], ["a washer"]),
        ("3 bolts M8 with a nut and 2 washers", [3, 3, 6], ["2 washers"]),
        ("4 bolts M8 with a nut and 4 washers", [4, 4, 4], []),
        ("2 washers 10x20 + a spacer", [2, 1], ["spacer"]),
    ],
)
def test_what_comes_with_each_is_counted_or_asked(
    typed: str, counts: list[int], asked: list[str]
) -> None:
    reading = read_fasteners(typed)
    assert [line.quantity for line in reading.lines] == counts
    assert [choice.token for choice in reading.asks] == asked


def test_where_the_longer_one_was_is_not_where_all_were() -> None:
    (line,) = read_fasteners("7 cover screws M6, one of them longer (top rear)").lines
    assert line.place == "cover"
    assert line.words == "one of them longer (top rear)"


@pytest.mark.parametrize("typed", ["bolt M8 nowhere to go", "3 nuts M7 (!!)"])
def test_what_says_no_place_is_none(typed: str) -> None:
    (line,) = read_fasteners(typed).lines
    assert not line.place


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("chaincase: eight screws M5, six at 16 and two at 35", [(6, 16), (2, 35)]),
        ("rocker cover screws all the same M6x30 bar one M6x45 at the back, 6 in all",
         [(5, 30), (1, 45)]),
        ("thick shim left side, thin one right side", [(1, None), (1, None)]),
        ("stay: nut bolt and 2 washers", [(1, None), (1, None), (2, None)]),
        ("2 J-nuts M5 fairing", [(2, None)]),
        ("1 u-bolt + 2 nuts silencer clamp 3/8 unf", [(1, None), (2, None)]),
        ("M5x16 x3... no sorry 5, lid", [(5, 16)]),
        ("don't drop!! 2 balls + spring from the detent", [(2, None), (1, None)]),
        ("drain plug M12x1.5, new washer needed", [(1, None)]),
        ("2 Schrauben M6x20 je Seite, Tank", [(2, 20)]),
        ("five screws, three slotted two hex, all M4", [(3, None), (2, None)]),
        ("half a dozen No 6 self tappers, dash", [(6, None)]),
        ("clevis pin and its 2 washers", [(1, None), (2, None)]),
        ("shims: 2 thick 1 thin, thin one next to the gear", [(2, None), (1, None)]),
        ("long spring inner, short fat one outer", [(1, None), (1, None)]),
        ("viti M5x16 pz 4 coperchio", [(4, 16)]),
        ("goupilles 3x20, 4 pces", [(4, 20)]),
        ("nut washer rubber washer washer nut, mudguard", [(1, None)] * 5),
        ("5 dome nuts + 5 fibre washers, one washer split", [(5, None), (5, None)]),
        ("banjo bolt and 2 copper washers - new washers please", [(1, None), (2, None)]),
        ("chaveta del eje, media luna", [(1, None)]),
        ("cable nipple + pinch bolt", [(1, None), (1, None)]),
    ],
)  # fmt: skip
def test_what_a_mechanic_would_count(typed: str, told: list[tuple[int, float | None]]) -> None:
    lines = read_fasteners(typed).lines
    assert [(line.quantity, line.length) for line in lines] == told


@pytest.mark.parametrize(
    ("typed", "counts"),
    [
        ("fork drain screws, 1 each leg", {2, 3, 4, 1}),
        ("2 washers under each bolt", {4, 6, 8, 2}),
        ("2 vis M8x20 par côté", {4, 2}),
    ],
)
def test_so_many_at_each_is_asked(typed: str, counts: set[int]) -> None:
    (choice,) = read_fasteners(typed).asks
    assert {int(one.meaning.removeprefix("count:")) for one in choice.options} == counts


def test_no_word_is_written_that_nobody_typed() -> None:
    """A cap of a valve has no socket."""
    said = " ".join(line.words for line in read_fasteners("valve collets 4 + 2 caps inlet").lines)
    assert "caps" in said
    assert "socket" not in said


def test_how_a_counted_screw_looks_is_kept() -> None:
    lines = read_fasteners("3 screws, 2 slotted").lines
    assert [(line.quantity, line.drive) for line in lines] == [(3, ""), (2, "slot")]


@pytest.mark.parametrize(
    "typed", ["bearing tight on the shaft, couldn't remove", "erst warm machen und dann ziehen!"]
)
def test_what_is_still_in_the_machine_may_be_a_remark(typed: str) -> None:
    assert [one.options[0].meaning for one in read_fasteners(typed).asks][-1:] == ["remark"]


def test_a_thrust_washer_of_one_small_size_is_so_thick() -> None:
    (line,) = read_fasteners("thrust washer 1.2mm main shaft").lines
    assert (line.thickness, line.diameter) == (1.2, None)


def test_a_figure_or_a_thread_is_no_length() -> None:
    reading = read_fasteners("1/4 or M6 screw, lid")
    assert reading.lines[0].length is None
    assert reading.asks


def test_what_nuts_and_washers_are_made_of_is_kept() -> None:
    """Fibre washers are renewed."""
    nuts, washers = read_fasteners("lid nuts 4 + fibre washers 4").lines
    assert (washers.quantity, washers.material, washers.single_use) == (4, "fibre", True)
    assert not nuts.material
