"""Names of dangerous parts in five languages are refused, harmless names that sound so are not."""

from __future__ import annotations

import random

import pytest

from tagbench.errors import BadInput, Refused
from tagbench.trade.torque.estimate import estimate_torque
from tagbench.trade.torque.safety import danger_of
from tagbench.trade.torque.word_forms import folded, slips
from tests.trade.published import rows

_DANGEROUS = rows("danger_words")
_HARMLESS = rows("harmless_words")
_TYPED = rows("typed_names")


def test_the_listed_dangerous_words_are_refused_each_for_its_reason() -> None:
    """danger_words.csv: common trade words from memory, no source; a wrong group counts too."""
    found = [(row, danger_of(row["word"])) for row in _DANGEROUS]
    missed = [row["word"] for row, at in found if at is None or at.group != row["class"]]
    assert len(missed) <= 0.01 * len(_DANGEROUS), missed


def test_the_listed_harmless_names_are_not_refused() -> None:
    """harmless_words.csv, from memory; `Radio` is a radio set and, in Spanish, a spoke."""
    refused = [row["name"] for row in _HARMLESS if danger_of(row["name"])]
    assert len(refused) <= 0.03 * len(_HARMLESS), refused
    assert set(refused) <= {"Radio"}


def test_names_as_they_are_typed_on_bags() -> None:
    """typed_names.csv: at least 99 % of the dangerous ones refused, at most 3 % of the others."""
    dangerous = [row["name"] for row in _TYPED if row["refused"] == "yes"]
    harmless = [row["name"] for row in _TYPED if row["refused"] == "no"]
    assert len(dangerous) > 120
    assert len(harmless) > 70
    missed = [name for name in dangerous if danger_of(name) is None]
    assert len(missed) <= 0.01 * len(dangerous), missed
    refused = [name for name in harmless if danger_of(name)]
    assert len(refused) <= 0.03 * len(harmless), refused


@pytest.mark.parametrize("capital", [str.upper, str.lower, str.title])
def test_capitals_and_plurals_do_not_matter(capital: type) -> None:
    english = [row["word"] for row in _DANGEROUS if row["lang"] == "en" and row["kind"] == "word"]
    for word in english:
        assert danger_of(capital(word)), word
        if not word.endswith("s"):
            assert danger_of(capital(word + "s")), word


def test_one_slip_of_the_finger_is_seen_through() -> None:
    """Letters left out, doubled or swapped inside English words of six letters or more."""
    chance, said, missed = random.Random(7), 0, []
    for row in _DANGEROUS:
        word = row["word"]
        if row["lang"] != "en" or row["kind"] != "word" or len(word) < 6:
            continue
        at = chance.randrange(1, len(word) - 2)
        for slip in (
            word[:at] + word[at + 1 :],
            word[:at] + word[at] + word[at:],
            word[:at] + word[at + 1] + word[at] + word[at + 2 :],
        ):
            said += 1
            if not danger_of(slip):
                missed.append(slip)
    assert said > 200
    assert len(missed) <= 0.05 * said, missed


@pytest.mark.parametrize(
    ("where", "part", "group"),
    [
        ("Front wheel / Brake", "wheel", "wheel"),
        ("brake shoes", "brake shoe", "brake"),
        ("Steering head", "steering head", "steering"),
        ("handle-bar clamp", "handlebar", "steering"),
        ("wheel_spindle", "axle", "wheel"),
        ("FRONT AXLE", "axle", "wheel"),
        ("front forks", "fork", "suspension"),
        ("con-rod", "connecting rod", "rod"),
        ("big-end bolts", "connecting rod", "rod"),
        ("head nuts", "cylinder head", "head"),
        ("track rod end", "steering linkage", "steering"),
        ("swing arm", "swinging arm", "suspension"),
        ("spark plug M14", "plug", "plug"),
        ("sump drain plug", "plug", "plug"),
        ("banjo bolt", "hollow screw", "hollow"),
        ("bleed nipple", "nipple", "nipple"),
        ("grease nipples", "nipple", "nipple"),
        ("Bremsgestänge", "brake", "brake"),
        ("Stossdaempfer", "suspension", "suspension"),
        ("écrous de la roue", "wheel nut", "wheel"),
        ("tuercas de rueda", "wheel nut", "wheel"),
        ("dadi della ruota", "wheel nut", "wheel"),
        ("clutch centre nut", "clutch", "clutch"),
        ("chain guard", "guard", "guard"),
    ],
)
def test_each_is_refused_with_its_own_reason(where: str, part: str, group: str) -> None:
    """Common practice, no source; AC 43.13-1B 7-40 i puts the maker's figure first."""
    found = danger_of("", where)
    assert found is not None
    assert (found.part, found.group) == (part, group)
    with pytest.raises(Refused, match="only the maker's figure") as refusal:
        estimate_torque("M8", "8.8", used_on=("", where), into="steel")
    assert part in str(refusal.value)


@pytest.mark.parametrize(
    "where",
    [
        "headlamp bracket",
        "mudguard stay",
        "speedometer",
        "seat cover",
        "clutch cover screw",
        "cover of the clutch",
        "hexagon head bolt",
        "wiring harness",
        "selector fork",
        "valve stem",
        "carburettor jet needle clip",
        "Kupplungsdeckelschraube",
        "tapa del embrague",
        "vite a testa tonda",
        "Durchmesser",
    ],
)
def test_what_only_sounds_dangerous_is_not_refused(where: str) -> None:
    assert danger_of(where) is None


def test_name_kind_assembly_and_note_are_all_looked_through() -> None:
    assert danger_of("bracket", "", "Gearbox", "") is None
    assert danger_of("bracket", "", "Rear wheel", "") is not None
    assert danger_of("bracket", "", "Gearbox", "goes behind the brake pedal") is not None
    first = danger_of("brake shoe", "", "Front wheel")
    assert first is not None
    assert first.part == "brake shoe"


@pytest.mark.parametrize("used_on", [(), ("",), (" ", "")])
def test_without_what_it_holds_there_is_no_estimate(used_on: tuple[str, ...]) -> None:
    with pytest.raises(BadInput, match="what the fastener holds"):
        estimate_torque("M8", "8.8", used_on=used_on, into="steel")


def test_words_are_folded_and_slips_are_counted() -> None:
    assert folded("Stoßdämpfer Cigüeñal œillet") == "stossdampfer ciguenal oeillet"
    assert slips("brkae", "brake", 1)
    assert slips("brak", "brake", 1)
    assert not slips("brk", "brake", 1)
    assert not slips("fork", "cork", 0)
