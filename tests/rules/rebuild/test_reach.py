"""Getting back to a part, burying one, and what either undoes."""

from __future__ import annotations

from datetime import timedelta

import networkx as nx
import pytest

from tagbench.errors import NotFound
from tagbench.records import Fastener, Setting, Tables, Torque, replace
from tagbench.rules.rebuild.burying import Burial, burying
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.rebuild.reach import reach_part
from tests.rules.machines import MARK, NOON, chain, clean, code, codes_on, random_machines, tables

NUT = Fastener(thread="M12x1.25", torque=Torque(low=45, high=55), torqued=50, back=1)
PIN = Fastener(kind="cotter pin", single_use=True, renewed=True, back=1)


def bury(made: Tables, one: str, planned: tuple[str, ...] = ()) -> Burial | None:
    """`burying` on a book."""
    return burying(made, links_of(made, MARK), one, planned)


def test_reach_is_what_networkx_finds_on_the_way_out() -> None:
    """All descendants that are on the machine, outermost first, and nothing more."""
    for name, made, drawn in random_machines(200, on=0.6):
        on = codes_on(made)
        for one in list(made.parts)[:10]:
            found = reach_part(made, one).take_off
            assert set(found) == nx.descendants(drawn, one) & on, name
            assert len(found) == len(set(found)), name
            at = {other: number for number, other in enumerate(found)}
            for inner, outer in drawn.edges:
                if inner in at and outer in at:
                    assert at[outer] < at[inner], name


def test_reaching_a_part_leaves_the_others_alone() -> None:
    """In a chain only what lies further out and is on comes off, outermost first."""
    made = chain(5, {5: "fitted", 4: "fitted", 3: "snug"})
    found = reach_part(made, code(5))
    assert found.take_off == [code(3), code(4)]
    assert (found.unfitted, found.unsnugged) == ([code(4)], [code(3)])


def test_nothing_in_the_way_nothing_to_take_off() -> None:
    """The outermost part is reached at once."""
    assert reach_part(chain(3), code(1)).take_off == []


def test_reach_says_what_is_to_be_torqued_renewed_and_measured_again() -> None:
    """The wheel's nut and cotter pin, and the chain slack that was set after it."""
    slack = Setting(
        id=1, machine=MARK, what="chain slack", measured=12.0, measured_at=NOON, after=(code(1),)
    )
    others = Setting(id=2, machine=MARK, what="points gap", measured=0.35, after=(code(9),))
    open_one = Setting(id=3, machine=MARK, what="brake play", after=(code(1),))
    made = tables(
        [
            clean(1, name="wheel", fitted="fitted", fitted_at=NOON, fasteners=(NUT, PIN)),
            clean(2, name="shoe", fitted="fitted", behind=[1]),
        ],
        settings={"1": slack, "2": others, "3": open_one},
    )
    found = reach_part(made, code(2))
    assert [line.key for line in found.untorqued] == [f"{code(1)}/1"]
    assert [line.key for line in found.to_renew] == [f"{code(1)}/2"]
    assert found.unsettled == [slack]


def test_reach_of_an_unknown_code_says_so() -> None:
    """The error names the code and the way out."""
    with pytest.raises(NotFound, match="TP-099-A"):
        reach_part(chain(2), code(99))


def test_two_thousand_deep_is_reached() -> None:
    """The deepest part of a chain that is all on needs all the others off, in strip order."""
    made = chain(2000, dict.fromkeys(range(1, 2001), "fitted"))
    assert reach_part(made, code(2000)).take_off == [code(number) for number in range(1, 2000)]


def test_what_would_be_shut_in_is_what_networkx_finds_deeper() -> None:
    """Every ancestor that is off, over any number of links."""
    for name, made, drawn in random_machines(200, on=0.5):
        on = codes_on(made)
        for one in sorted(set(made.parts) - on):
            found = bury(made, one)
            shut_in = nx.ancestors(drawn, one) - on
            assert set(found.shut_in if found else []) == shut_in, name
            if found:
                price = {one}.union(*(nx.descendants(drawn, inner) & on for inner in shut_in))
                assert set(found.cost.take_off) == price, name


def test_the_classic_mistake_is_stopped_with_names_and_price() -> None:
    """Wheel before bearing: the names, what comes off again, and how to go on."""
    made = tables(
        [
            clean(1, name="wheel", fasteners=(replace(NUT, torqued=None),)),
            clean(2, name="cover", behind=[1], fitted="fitted", fasteners=(NUT,)),
            clean(3, name="bearing", behind=[2]),
        ]
    )
    found = bury(made, code(1))
    assert found is not None and found.again == [code(2)]
    assert found.words == (
        "wheel TP-001-A would shut in bearing TP-003-A. Fit these first: bearing TP-003-A. If it "
        "went on now, these would have to come off again: cover TP-002-A; 1 torque to give again."
    )
    assert bury(made, code(3)) is None


def test_nobody_is_told_to_take_off_what_is_in_the_hand() -> None:
    """Nothing else is on: only what is in the hand would have to come off."""
    made = tables([clean(1, name="wheel", fasteners=(NUT,)), clean(2, behind=[1])])
    found = bury(made, code(1))
    assert found is not None and found.again == []
    assert "If it went on now, it would have to come off again" in found.words


def test_torque_again_only_where_it_was_torqued() -> None:
    """A nut put on without its torque has none to lose."""
    plain = replace(NUT, torqued=None)
    made = tables(
        [
            clean(1, name="wheel", fitted="snug", fasteners=(plain, NUT)),
            clean(2, behind=[1]),
        ]
    )
    assert [line.key for line in reach_part(made, code(2)).untorqued] == [f"{code(1)}/2"]


def test_a_plan_counts_what_goes_on_before() -> None:
    """With the bearing planned before it, the wheel shuts nothing in."""
    made = chain(3)
    assert bury(made, code(1), (code(3), code(2))) is None
    found = bury(made, code(1), (code(2),))
    assert found is not None and found.shut_in == [code(3)]
    assert found.cost.take_off == [code(1), code(2)]


def test_settings_the_burial_would_cost_are_told() -> None:
    """A setting measured after the cover is to be measured again."""
    end_float = Setting(
        id=1,
        machine=MARK,
        what="end float",
        measured=0.1,
        measured_at=NOON + timedelta(hours=1),
        after=(code(2),),
    )
    made = tables(
        [clean(1), clean(2, behind=[1], fitted="fitted"), clean(3, behind=[2])],
        settings={"1": end_float},
    )
    found = bury(made, code(1))
    assert found is not None and "1 setting to measure again" in found.words
