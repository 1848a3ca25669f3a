"""Ready and held up: the definition, and every reason named, not only the first."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import networkx as nx
import pytest

from tagbench.records import Fastener, Part, Soak, Tables, Want, replace
from tagbench.rules.rebuild.held_up import Reason
from tagbench.rules.rebuild.overview import build_overview
from tests.rules.machines import (
    DEGREASED,
    MARK,
    chain,
    clean,
    code,
    codes_on,
    random_machines,
    tables,
)


def reasons(made: Tables, one: str) -> dict[str, Reason]:
    """Kind → reason of a part that is held up; empty when it is not."""
    found = {held.code: held.reasons for held in build_overview(made, MARK).held_up}
    return {reason.kind: reason for reason in found.get(one, ())}


def lacks(part: Part) -> bool:
    """The part's own half of the definition, spelled out once more for the check."""
    clean_and_decided = part.care == DEGREASED and part.verdict == "reuse"
    return not clean_and_decided or any(fastener.short for fastener in part.fasteners)


def test_ready_is_what_the_definition_says_on_random_machines() -> None:
    """Off, nothing lacking, and every ancestor in the networkx graph is on the machine."""
    for name, made, drawn in random_machines(400):
        on = codes_on(made)
        expected = {
            one
            for one, part in made.parts.items()
            if one not in on and not lacks(part) and nx.ancestors(drawn, one) <= on
        }
        found = build_overview(made, MARK)
        assert set(found.ready) == expected, name
        held = {one.code for one in found.held_up}
        assert set(found.ready) | held | on == set(made.parts), name
        assert not held & expected and not held & on, name
        assert all(one.reasons for one in found.held_up), name
        assert set(found.snug) | set(found.fitted) == on, name


def test_in_a_sound_machine_the_parts_named_are_the_straight_links_still_off() -> None:
    """With nothing put on over a gap, it names exactly the deeper neighbours that are off."""
    for name, made, drawn in random_machines(200, on=0.0):
        for held in build_overview(made, MARK).held_up:
            named = {one for why in held.reasons for one in why.codes}
            assert named == set(drawn.predecessors(held.code)), name


def test_over_a_gap_every_hidden_part_is_named() -> None:
    """Off parts reached through parts already on are named as well, whatever the graph."""
    for name, made, drawn in random_machines(200, on=0.6):
        on = codes_on(made)
        for held in build_overview(made, MARK).held_up:
            named = {one for why in held.reasons for one in why.codes}
            through = drawn.subgraph(on | {held.code})
            around = nx.ancestors(through, held.code) | {held.code}
            hidden = {inner for one in around for inner in drawn.predecessors(one)} - on
            assert named == hidden - {held.code}, name


@pytest.mark.parametrize(
    ("fields", "kind", "words"),
    [
        ({"care": ()}, "dirty", "not degreased"),
        ({"verdict": "undecided"}, "undecided", "reuse or replace"),
        ({"verdict": "replace", "replacement": "wanted"}, "replacement", "not here"),
        ({"verdict": "replace"}, "replacement", "not here"),
        ({"fasteners": (Fastener(thread="M6x1", quantity=4, short=2),)}, "short", "M6"),
    ],
)
def test_each_thing_a_part_can_lack_is_a_reason(
    fields: dict[str, Any], kind: str, words: str
) -> None:
    """One missing thing holds a part up and is named."""
    found = reasons(tables([clean(1, **fields)]), code(1))
    assert list(found) == [kind]
    assert words in found[kind].words


def test_all_reasons_are_named_at_once() -> None:
    """A part that lacks everything says so in one go."""
    bare = clean(
        1,
        care=(),
        verdict="undecided",
        fasteners=(Fastener(quantity=4, short=1), Fastener(kind="nut", short=1)),
    )
    made = tables([bare, clean(2, behind=[1])])
    held = build_overview(made, MARK).held_up
    assert [why.kind for why in held[0].reasons] == [
        "deeper",
        "dirty",
        "undecided",
        "short",
        "short",
    ]


def test_the_replacement_that_is_here_goes_on() -> None:
    """Replace with the replacement here is as good as reuse."""
    made = tables([clean(1, verdict="replace", replacement="here")])
    assert build_overview(made, MARK).ready == [code(1)]


def test_snug_counts_as_on_the_machine() -> None:
    """A snug part holds nothing up, and is in neither list."""
    made = chain(3, {3: "snug"})
    found = build_overview(made, MARK)
    assert (found.ready, found.snug) == ([code(2)], [code(3)])
    assert [held.code for held in found.held_up] == [code(1)]


def test_a_part_waits_for_an_open_want() -> None:
    """A want that names the part holds it up until it has arrived, and its standing is told."""
    want = Want(
        id=1,
        machine=MARK,
        what="gasket",
        parts=(code(1),),
        ordered=date(2024, 5, 3),
        due=date(2024, 5, 20),
    )
    made = tables([clean(1)], wants={"1": want})
    assert "gasket, ordered 3 May 2024, due 20 May 2024" in reasons(made, code(1))["want"].words
    here = tables([clean(1)], wants={"1": replace(want, arrived=date(2024, 5, 19))})
    assert build_overview(here, MARK).ready == [code(1)]


def test_a_soaking_part_says_since_when() -> None:
    """Dirty and in the tray."""
    soak = Soak(since=datetime(2024, 5, 3, 20, 0, tzinfo=UTC))
    found = reasons(tables([clean(1, care=(), soak=soak)]), code(1))
    assert found["dirty"].words == "not degreased; soaking since 3 May 2024, 20:00"


def test_a_loop_is_a_reason_and_is_reported() -> None:
    """Parts in a loop wait for each other for ever; the reason says why and what to do."""
    made = tables([clean(1, behind=[2]), clean(2, behind=[1]), clean(3)])
    found = build_overview(made, MARK)
    assert found.ready == [code(3)]
    assert "take one of them out" in reasons(made, code(1))["loop"].words
    assert any("is behind" in problem for problem in found.problems)


def test_odd_links_do_not_hold_a_part_up_but_are_reported() -> None:
    """A link to a part that is not in the book is told among the problems."""
    made = tables([clean(1, behind=[99])])
    found = build_overview(made, MARK)
    assert found.ready == [code(1)] and len(found.problems) == 1


def test_a_chain_of_two_thousand() -> None:
    """Only the deepest is ready; each other names one reason."""
    found = build_overview(chain(2000), MARK)
    assert found.ready == [code(2000)]
    assert len(found.held_up) == 1999
    assert {len(held.reasons) for held in found.held_up} == {1}


def test_a_chain_of_two_thousand_over_a_gap_names_the_gap() -> None:
    """1999 parts put on over the deepest one: the outermost still names it."""
    made = chain(2000, dict.fromkeys(range(2, 2000), "fitted"))
    assert reasons(made, code(1))["buried"].codes == (code(2000),)
