"""What the rebuild says, sentence by sentence."""

from __future__ import annotations

from datetime import date

import pytest

from tagbench.records import Bin, Fastener, Override, Part, StockItem, Torque, Want
from tagbench.rules.buying.single_use import needed
from tagbench.rules.count.closing import off_by_assembly, open_lines
from tagbench.rules.count.identity import machine_count
from tagbench.rules.rebuild.guide import fit_guide
from tagbench.rules.rebuild.held_up import obstacles
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.rebuild.new_piece import kept_lines
from tagbench.rules.rebuild.steps import bench_layout, step_for
from tests.rules.machines import MARK, clean, code, tables

TODAY = date(2024, 5, 24)
BAG, BOX = "BIN-001-A", "BIN-002-A"
BINS = {
    BAG: Bin(code=BAG, name="Bag 7"),
    BOX: Bin(code=BOX, name="Box 2", kind="box"),
}
NUT = Fastener(
    kind="castle nut",
    note="clamps",
    thread="M12x1.25",
    locking=("cotter pin 3.2x40",),
    torque=Torque(low=45, high=55),
    single_use=True,
)
PIN = Fastener(kind="cotter pin", diameter=3.2, length=32, single_use=True)


def shoe(**fields: object) -> Part:
    """A brake shoe that is replaced, the new one here; the old one in bag 7."""
    known = {"verdict": "replace", "replacement": "here", "old_piece": "kept", "bin": BAG}
    return clean(1, name="brake shoe", **{**known, **fields})


def order(**fields: object) -> Want:
    """A want for the shoe."""
    known = {"id": 3, "machine": MARK, "what": "brake shoe", "parts": (code(1),)}
    return Want(**{**known, **fields})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("part", "wants", "where"),
    [
        (shoe(new_bin=BOX), {}, "Box 2"),
        (
            shoe(),
            {"3": order(arrived=date(2024, 5, 20), supplier="the mill")},
            "arrived 20 May 2024 from the mill, want 3",
        ),
        (shoe(replacement="wanted"), {"3": order()}, "not here yet"),
    ],
)
def test_the_new_one_is_fitted_and_the_old_one_is_not(
    part: Part, wants: dict[str, Want], where: str
) -> None:
    """On the step, the lay-out list and wherever it is said where a part is."""
    made = tables([part], bins=BINS, wants=wants)
    step = step_for(made, links_of(made, MARK), code(1))
    assert step.new is not None and step.kept_in == where
    old = "the old one is in Bag 7, not for fitting"
    assert kept_lines(made, part) == [f"fit the NEW one: {where}", old]
    assert all("Bag 7" not in bag for bag in bench_layout(made, [step]).bins)


def test_the_old_bag_is_fetched_for_its_fasteners_with_a_word_of_warning() -> None:
    """The screws lie in it, and so does the old shoe."""
    made = tables([shoe(new_bin=BOX, fasteners=(Fastener(quantity=2),))], bins=BINS)
    bags = bench_layout(made, [step_for(made, links_of(made, MARK), code(1))]).bins
    assert bags[0] == "Box 2"
    assert bags[1].endswith("for the fasteners; the old brake shoe in it is not for fitting")


def test_what_never_came_off_cannot_have_gone_on_over_anything() -> None:
    """The record cannot be so, and says which two parts to look at."""
    made = tables(
        [
            clean(1, name="case half", fitted="fitted", stays_on=True),
            clean(2, name="seal", behind=[1]),
        ]
    )
    [line] = open_lines(machine_count(made, MARK))
    assert line.words == (
        "seal TP-002-A is off the machine, but was under case half TP-001-A, never taken off; "
        "one of the two is wrong"
    )


def test_what_is_left_out_names_what_went_on_over_it() -> None:
    """In the count, before what is merely off."""
    made = tables(
        [
            clean(1, name="wheel", fitted="fitted"),
            clean(2, name="bearing", behind=[1]),
            clean(3, name="horn", assembly="Frame"),
            clean(4, name="lamp", assembly="Front"),
            clean(5, name="bracket", assembly="Frame"),
            clean(6, name="cover", fitted="snug"),
        ]
    )
    found = machine_count(made, MARK)
    lines = open_lines(found)
    assert lines[0].words == "bearing TP-002-A was left out: wheel TP-001-A went on over it"
    assert [line.key for line in lines[1:]] == [
        f"snug:{code(6)}",
        f"off:{code(3)}",
        f"off:{code(5)}",
        f"off:{code(4)}",
    ]
    assert {name: len(group) for name, group in off_by_assembly(found).items()} == {
        "Frame": 2,
        "Front": 1,
    }


def test_one_cotter_pin_for_one_nut() -> None:
    """The part's own line is the pin: wanted once, laid out once, open in the count once."""
    part = clean(1, name="axle", fasteners=(NUT, PIN), fitted="fitted")
    made = tables([part])
    assert [(row.what, row.quantity) for row in needed(made)] == [("cotter pin 3.2x32", 1)]
    supplies = bench_layout(made, [step_for(made, links_of(made, MARK), code(1))]).single_use
    assert [(one.what, one.quantity) for one in supplies] == [("cotter pin 3.2x32", 1)]
    assert [line.key for line in machine_count(made, MARK).single_use] == [f"{code(1)}/2"]


@pytest.mark.parametrize(
    ("lines", "words"), [((NUT, PIN), "cotter pin 3.2x32"), ((NUT,), "cotter pin 3.2x40")]
)
def test_the_own_line_goes_before_the_general_table(
    lines: tuple[Fastener, ...], words: str
) -> None:
    """DIN 935-1 has another pin for M12; this part has its own."""
    made = tables([clean(1, name="kick start arm", fasteners=lines)])
    guide = fit_guide(made, links_of(made, MARK), code(1))
    pins = [step for step in guide.lines[0].steps if "new cotter pin" in step]
    assert len(pins) == 1 and words in pins[0]


def test_what_is_short_says_how_many() -> None:
    """One of four."""
    short = Fastener(thread="M6x1", length=20, quantity=4, short=1)
    made = tables([clean(1, fasteners=(short,))])
    [reason] = obstacles(made, links_of(made, MARK)).reasons(0)
    assert reason.words.startswith("short of 1 of 4: M6")


def test_a_late_order_says_overdue_and_the_same_lack_stands_once() -> None:
    """The want is the replacement: one reason, with how late it is."""
    late = order(ordered=date(2024, 5, 3), due=date(2024, 5, 20))
    made = tables([shoe(replacement="wanted")], wants={"3": late})
    [reason] = obstacles(made, links_of(made, MARK), TODAY).reasons(0)
    assert reason.words.endswith("ordered 3 May 2024, due 20 May 2024, 4 days overdue")


def test_an_overruled_lack_says_overdue_too() -> None:
    """In the count, of a part that went on all the same."""
    late = order(ordered=date(2024, 5, 3), due=date(2024, 5, 20))
    part = clean(1, fitted="fitted", overrides=(Override(what="held up"),))
    [over] = machine_count(tables([part], wants={"3": late}), MARK, TODAY).overrides
    assert "4 days overdue" in over.words


@pytest.mark.parametrize(
    ("stock", "words"),
    [
        (0, "1 × cotter pin 3.2x32 (none in stock, buy first)"),
        (5, "1 × cotter pin 3.2x32 (5 in stock)"),
    ],
)
def test_a_step_says_what_to_buy_first(stock: int, words: str) -> None:
    """None in the drawer."""
    drawer = {"1": StockItem(id=1, what="cotter pin 3.2x32", quantity=stock)}
    made = tables([clean(1, fasteners=(PIN,))], stock=drawer)
    step = step_for(made, links_of(made, MARK), code(1))
    assert [one.words for one in step.supplies] == [words]
