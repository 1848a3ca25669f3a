"""How a part goes on: the person's unit, the wrench, the castle nut, the stages.

43–58 lbf·ft is common practice, no source.
"""

from __future__ import annotations

from tagbench.records import Gasket, GasketOutline, Machine, TracedHole, Units, replace
from tagbench.rules.count.fastener_lines import lines_of
from tagbench.rules.rebuild.guide import LineGuide, fit_guide, line_guide
from tagbench.rules.rebuild.links import links_of
from tagbench.trade.fasteners.text import parse_fasteners
from tagbench.trade.quantities.typed import parse_length
from tagbench.trade.torque.wrench import Lever
from tests.rules.machines import MARK, clean, code, tables

METRIC = Machine(mark=MARK, name="Tarnbrook Packman")
FEET = replace(METRIC, units=Units(torque="lbf·ft"))


def guide(text: str, machine: Machine = METRIC, lever: Lever | None = None) -> LineGuide:
    """The guide of a part's only line."""
    [line] = lines_of([clean(1, name="hub", fasteners=parse_fasteners(text))])
    return line_guide(line, machine, lever)


def test_the_torque_is_told_in_the_persons_unit_and_as_typed() -> None:
    """43 and 58 lbf·ft are 58.3 and 78.6 N·m (1 lbf·ft = 1.3558179483 N·m, NIST SP 811)."""
    assert guide("M10x1.25, 43-58 lbf·ft").torque == "43–58 lbf·ft (58.3–78.6 N·m)"
    assert guide("M10x1.25, 43-58 lbf·ft", FEET).torque == "43–58 lbf·ft"


def test_an_estimate_says_so() -> None:
    """And yields to the manual."""
    assert "an estimate" in guide("M8, 22 N·m estimate").torque


def test_the_wrench_is_set_for_its_extension() -> None:
    """300 mm wrench with a 100 mm extension: 3/4 of the torque (US Army TM 9-254 ch. 4)."""
    lever = Lever(parse_length("300 mm"), parse_length("100 mm"))
    assert guide("M10, 40-48 N·m", lever=lever).wrench == "Set the wrench to 30–36 N·m."


def test_the_scale_of_the_wrench_is_told() -> None:
    """8 to 10 N·m on a wrench up to 100 N·m is too low on its scale (TM 1-1500-204-23-9)."""
    wide = replace(METRIC, wrench_low=20.0, wrench_high=100.0)
    assert "Take a wrench" in guide("M6, 8-10 N·m", wide).wrench
    assert "best part of the scale" in guide("M12, 40-60 N·m", wide).wrench


def test_a_castle_nut_goes_on_to_the_next_slot_and_never_back() -> None:
    """AC 43.13-1B 7-40 and 7-127: start low, never over the high figure, a new cotter pin."""
    steps = " ".join(guide("castle nut M12x1.25 (clamps) + cotter pin, 45-60 N·m").steps)
    for words in (
        "low figure, 45 N·m",
        "Never turn the nut back",
        "high figure, 60 N·m",
        "new cotter pin",
    ):
        assert words in steps


def test_a_nut_that_sets_a_bearing_is_never_turned_on_to_a_slot() -> None:
    """It is seated and backed off as the maker says; where nothing tells, the card asks."""
    steps = " ".join(guide("castle nut M12x1.25 (sets the wheel bearing)").steps)
    assert "Seat it" in steps
    assert "turn back to the nearest one" in steps
    assert "turn on" not in steps
    [line] = lines_of([clean(1, name="axle nut", fasteners=parse_fasteners("castle nut M12"))])
    [asked] = line_guide(line, METRIC).steps
    assert asked.startswith("Which is it?")


def test_a_circle_of_bolts_is_tightened_crosswise_in_stages() -> None:
    """Four bolts: 30, 60, 100 %, 1 3 2 4, then once round (ASME PCC-1, from memory)."""
    steps = guide("4x M8x1.25x35, 20-24 N·m").steps
    assert len(steps) == 4
    assert "6–7.2 N·m: 1, 3, 2, 4." in steps[0] and "20–24 N·m: 1, 2, 3, 4." in steps[3]
    assert guide("2x M8x1.25x35, 20-24 N·m").steps == ()


def test_screws_of_several_lengths_are_one_circle() -> None:
    """Eight on one cover: the stages stand once, for all eight."""
    text = "4x M6x25, 7-9 N·m; 3x M6x40, 7-9 N·m; M6x65, 7-9 N·m; 2x M8x20, 20 N·m"
    lines = [
        line_guide(line, METRIC) for line in lines_of([clean(1, fasteners=parse_fasteners(text))])
    ]
    assert lines[0].steps[0] == "Lines 1 and 2 and 3 are one circle of 8."
    assert lines[0].steps[1].endswith("1, 5, 3, 7, 2, 6, 4, 8.")
    assert lines[1].steps == lines[2].steps == ("In the same circle as line 1.",)
    assert lines[3].steps == ()


def test_what_is_used_once_is_named() -> None:
    """A lock washer under a screw."""
    assert guide("M6x20 + lock washer").steps == ("Fit a new lock washer for M6x1.",)


def test_how_it_is_locked_is_told() -> None:
    """Common practice, no source; the self-locking nut by AC 43.13-1B 7-40."""
    assert "degrease both threads" in guide("M8x20 hex + thread lock").steps[-1]
    said = " ".join(guide("self-locking nut M8, 20 N·m").steps)
    assert "Fit a new self-locking nut" in said
    assert "takes to run down and add it" in said


def test_a_setting_under_the_scale_of_the_wrench_is_told() -> None:
    """However good its place on the full scale would be."""
    high = replace(METRIC, wrench_low=60.0, wrench_high=100.0)
    assert "Take a wrench" in guide("M12, 40-60 N·m", high).wrench


def test_the_guide_of_a_part_has_it_all() -> None:
    """Reasons, what it would shut in, cautions with the line that defers."""
    made = tables(
        [
            clean(1, name="brake drum", assembly="Front wheel / Brake", care=()),
            clean(2, name="brake shoe", behind=[1]),
        ],
        machines={MARK: METRIC},
    )
    found = fit_guide(made, links_of(made, MARK), code(1))
    assert [reason.kind for reason in found.reasons] == ["deeper", "dirty"]
    assert found.burial is not None and found.burial.shut_in == [code(2)]
    assert "maker's manual" in found.cautions[-1]
    on = tables([replace(made.parts[code(1)], fitted="snug"), made.parts[code(2)]])
    found = fit_guide(on, links_of(on, MARK), code(1))
    assert found.reasons == [] and found.burial is None


def _steps(fasteners: str, *gaskets: Gasket) -> str:
    made = clean(1, name="clutch cover", fasteners=parse_fasteners(fasteners))
    first = next(iter(lines_of([made])))
    return " ".join(line_guide(first, METRIC, None, gaskets).steps)


def test_bolts_with_clock_places_are_tightened_by_where_they_sit() -> None:
    """Four at 12, 3, 6 and 9: each is followed by the one opposite (common practice, no source)."""
    told = _steps("4x M6x20 (12, 3, 6 and 9 o'clock), 8-10 N·m")
    assert "1 at 12, 2 at 3, 3 at 6, 4 at 9" in told
    assert "to 30 %. 2.4–3 N·m: 1, 3, 2, 4" in told


def test_bolts_in_a_row_are_tightened_from_the_middle() -> None:
    """Five places in millimetres on one line: the middle one first, then to and fro."""
    told = _steps("5x M6x20 (0 0; 20 0; 40 0; 60 0; 80 0), 8-10 N·m")
    assert "order of their written places" in told
    order = [int(each) for each in told.split("N·m: ")[1].split(".")[0].split(", ")]
    assert order[0] == 3
    assert sorted(order) == [1, 2, 3, 4, 5]
    assert {order[1], order[2]} == {2, 4}


def test_bolts_without_places_take_those_of_the_traced_gasket() -> None:
    """Holes of an odd-shaped gasket, as many as there are bolts; a dowel's is of another size."""
    holes = tuple(
        TracedHole(x_mm=x, y_mm=y, diameter_mm=wide)
        for x, y, wide in ((5, 5, 6.4), (85, 5, 6.4), (20, 30, 8.1), (85, 45, 6.4), (5, 45, 6.4))
    )
    outline = GasketOutline(outer=((0, 0, 0), (90, 0, 0), (90, 50, 0), (0, 50, 0)), holes=holes)
    gasket = Gasket(material="paper", thickness_mm=0.5, width_mm=90, height_mm=50, outline=outline)
    told = _steps("4x M6x20, 8-10 N·m", gasket)
    assert "1 at 5 right 5 up, 2 at 85 right 5 up, 3 at 85 right 45 up, 4 at 5 right 45 up" in told
    order = [int(each) for each in told.split("N·m: ")[1].split(".")[0].split(", ")]
    assert abs(order[0] - order[1]) == 2  # corner to corner
    assert "Numbered" not in _steps("4x M6x20, 8-10 N·m")


def test_the_fit_card_finds_the_gasket_of_its_cover() -> None:
    """A gasket that came off behind the cover shows where the cover's bolts sit."""
    holes = tuple(TracedHole(x_mm=x, y_mm=5, diameter_mm=6.4) for x in (5.0, 45.0, 85.0))
    outline = GasketOutline(outer=((0, 0, 0), (90, 0, 0), (90, 10, 0), (0, 10, 0)), holes=holes)
    gasket = Gasket(material="paper", thickness_mm=0.5, width_mm=90, height_mm=10, outline=outline)
    cover = clean(1, name="cover", fasteners=parse_fasteners("3x M6x20, 8-10 N·m"))
    paper = clean(2, name="cover gasket", make=gasket, behind=(1,))
    books = tables([cover, paper])
    told = " ".join(fit_guide(books, links_of(books, MARK), cover.code).lines[0].steps)
    assert "Holes of the gasket" in told
    assert "N·m: 2, " in told
