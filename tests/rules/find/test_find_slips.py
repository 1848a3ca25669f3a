"""One slip of the finger does not hide a part."""

from __future__ import annotations

from hypothesis import given, settings, strategies as st

from tagbench.rules.find.index import Index
from tests.examples import examples
from tests.rules.making import part, tables

NAMES = (
    "brake drum",
    "backing plate",
    "carburettor",
    "exhaust gasket",
    "kingpin bush",
    "throttle cable",
    "gearbox cover",
    "crankshaft",
    "headlamp bracket",
    "silencer strap",
    "wheel bearing",
    "steering damper",
)
PARTS = tuple(part(at + 1, name) for at, name in enumerate(NAMES))
INDEX = Index(tables(*PARTS))

SLIPS = st.sampled_from(["missing", "doubled", "changed round", "wrong"])


def slip(text: str, at: int, kind: str) -> str:
    """`text` with one slip of the finger in it."""
    if kind == "missing":
        return text[:at] + text[at + 1 :]
    if kind == "doubled":
        return text[:at] + text[at] + text[at:]
    if kind == "wrong":
        return text[:at] + "w" + text[at + 1 :]
    return text[:at] + text[at + 1 : at + 2] + text[at] + text[at + 2 :]


@settings(max_examples=examples(200), deadline=None)
@given(which=st.integers(0, len(NAMES) - 1), at=st.integers(0, 20), kind=SLIPS)
def test_one_slip_keeps_the_part_first(which: int, at: int, kind: str) -> None:
    """A letter missing, doubled, wrong, or two changed round: the part is still first."""
    name = NAMES[which]
    place = at % len(name)
    if " " in name[place : place + 2]:
        place = 1  # a slip at the blank makes other words; those are tried by name in test_find
    found = INDEX.find(slip(name, place, kind))
    assert found, slip(name, place, kind)
    assert found[0].part == PARTS[which]


@settings(max_examples=examples(100), deadline=None)
@given(st.permutations(["four", "rusty", "backing", "plate"]))
def test_the_order_of_words_does_not_matter(words: list[str]) -> None:
    """Any order gives the same score for the part."""
    straight = INDEX.find("four rusty backing plate")[0]
    turned = INDEX.find(" ".join(words))[0]
    assert turned.part == straight.part


@settings(max_examples=examples(100), deadline=None)
@given(st.text(max_size=40))
def test_any_text_may_be_typed(text: str) -> None:
    """No text fails; scores fall and stay above nothing."""
    scores = [hit.score for hit in INDEX.find(text)]
    assert scores == sorted(scores, reverse=True)
    assert all(score > 0 for score in scores)
