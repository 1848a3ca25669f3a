"""`mark`, `soak`, `care`, `inspect`, `reading`, `cautions` as a person types them."""

from __future__ import annotations

import pytest

from tests.commands.conftest import Tagbench


@pytest.fixture
def shoe(tagbench: Tagbench) -> str:
    """The code of a brake shoe."""
    words = ("strip", "brake shoe", "--from", "Front wheel / Brake", "--json")
    return str(tagbench(*words).json["code"])


@pytest.fixture
def chain(tagbench: Tagbench) -> str:
    """The code of a chain."""
    return str(tagbench("strip", "chain", "--from", "Drive", "--json").json["code"])


def test_one_part_is_an_object_several_are_a_list(
    tagbench: Tagbench, shoe: str, chain: str
) -> None:
    """And all of them are one step: one undo takes it back."""
    one = tagbench("mark", shoe, "degreased", "--with", "water mist", "--json").json
    assert (one["code"], one["care"][0]["step"]) == (shoe, "degreased")
    assert (one["care"][0]["with_what"], one["kept_in"]) == ("water mist", [])
    both = tagbench("mark", shoe.lower(), chain, "inspected", "--json").json
    assert [part["code"] for part in both] == [shoe, chain]
    assert tagbench("undo").code == 0
    assert [step["step"] for step in tagbench("show", shoe, "--json").json["care"]] == ["degreased"]
    assert tagbench("show", chain, "--json").json["care"] == []


def test_the_cautions_stand_where_the_work_is_done(tagbench: Tagbench, shoe: str) -> None:
    """In two lines; acknowledged they are shown shortly."""
    said = tagbench("mark", shoe, "degreased").out
    assert "! Treat old linings as asbestos" in said
    assert "! Follow the maker's manual and local rules" in said
    tagbench("cautions", "brake dust", "solvents", "--seen")
    again = tagbench("mark", shoe, "degreased", "--with", "detergent").out
    assert "asbestos" not in again
    assert "Seen before: brake dust." in again
    listed = tagbench("cautions", "--json").json
    assert all(row["source"] for one in listed for row in one["rows"])
    assert tagbench("cautions", "--again", "--json").json["cautions_seen"] == []
    assert tagbench("cautions", "dragons", "--seen").code == 2
    assert tagbench("cautions", "dragons").code == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("polished",), "choose one of degreased"),
        (("degreased", "--on", "tomorrow"), "still to come"),
        (("degreased", "--on", "2001-01-01"), "came off on"),
        (("degreased", "--on", "soon"), "is not a date"),
        (("reuse", "--on", "today"), "leave the day out"),
        (("back",), "Nothing has been done"),
        (("back", "--with", "x"), "do not go with back"),
    ],
)
def test_odd_cases_are_one_sentence_and_exit_2(
    tagbench: Tagbench, shoe: str, words: tuple[str, ...], said: str
) -> None:
    """Nothing is changed."""
    told = tagbench("mark", shoe, *words)
    assert told.code == 2
    assert said in told.err
    assert len(told.err.strip().splitlines()) == 1
    part = tagbench("show", shoe, "--json").json
    assert (part["care"], part["verdict"]) == ([], "undecided")


def test_a_code_that_is_wrong_is_told_with_the_likely_one(tagbench: Tagbench, shoe: str) -> None:
    """The check character catches the slip."""
    wrong = shoe[:-1] + ("A" if shoe[-1] != "A" else "B")
    told = tagbench("mark", wrong, "degreased")
    assert told.code == 2
    assert shoe in told.err


def test_replace_is_wanted_and_back_takes_it_off(tagbench: Tagbench, shoe: str) -> None:
    """The verdict, the want, and both gone again."""
    part = tagbench("mark", shoe, "replace", "--with", "pattern part", "--json").json
    assert (part["verdict"], part["replacement"]) == ("replace", "wanted")
    (want,) = tagbench("wants", "--json").json
    assert (want["parts"], want["note"]) == ([shoe], "pattern part")
    back = tagbench("mark", shoe, "back", "--json").json
    assert back["verdict"] == "undecided"
    assert tagbench("wants", "--json").json == []
    tagbench("mark", shoe, "reuse")
    assert tagbench("mark", shoe, "undecided", "--json").json["verdict"] == "undecided"


def test_lists_by_what_is_still_to_do(tagbench: Tagbench, shoe: str, chain: str) -> None:
    """Each with what comes next."""
    tagbench("mark", chain, "degreased")
    assert [p["code"] for p in tagbench("care", "still-dirty", "--json").json] == [shoe]
    rows = tagbench("care", "--json").json
    assert [(row["code"], row["next"]) for row in rows] == [(shoe, "degrease"), (chain, "inspect")]
    assert "still dirty 1" in tagbench("care").out
    assert tagbench("care", "polished").code == 2


def test_soaking_and_out(tagbench: Tagbench, chain: str) -> None:
    """With hours, tray and substance; out clean or still dirty."""
    words = ("soak", chain, "--hours", "12", "--tray", "tray 2", "--with", "kerosene")
    part = tagbench(*words, "--json").json
    assert (part["soak"]["hours"], part["soak"]["tray"]) == (12, "tray 2")
    assert "soaking 0 min in kerosene, tray 2" in tagbench("care", "soaking").out
    assert tagbench("soak", chain, "--out", "--dirty", "--json").json["care"] == []
    assert tagbench("soak", chain, "--out").code == 2
    assert tagbench("soak", chain, "--dirty").code == 2
    assert tagbench("soak", chain, "--hours", "0").code == 2


def test_what_to_look_for_and_what_was_measured(tagbench: Tagbench, shoe: str) -> None:
    """The usual limit is offered with its source; readings with comma or point."""
    looked = tagbench("inspect", shoe, "--json").json
    assert looked["kind"] == "brake shoe"
    assert looked["usual_readings"][0]["low"] == 2
    part = tagbench("reading", shoe, "lining thickness", "2,1", "2.3", "mm", "--json").json
    (reading,) = part["readings"]
    assert (reading["values"], reading["low"], reading["unit"]) == ([2.1, 2.3], 2, "mm")
    assert "common practice, no source" in reading["source"]
    own = ("reading", shoe, "lining thickness", "2.0", "--low", "1.5", "--source", "manual p. 9")
    assert tagbench(*own, "--json").json["readings"][0]["low"] == 1.5
    told = tagbench("reading", shoe, "lining thickness", "1.4")
    assert "proposed: replace (lining thickness: Worn" in told.out
    assert tagbench("inspect", shoe, "--json").json["proposed"] == "replace"
    assert tagbench("reading", shoe, "lining thickness", "much").code == 2
    assert tagbench("reading", shoe, "x", "1 mm", "--unit", "in").code == 2
    assert tagbench("reading", shoe, "lining thickness", "--drop", "--json").json["readings"] == []
    assert "lining thickness: to measure" in tagbench("inspect", shoe).out
