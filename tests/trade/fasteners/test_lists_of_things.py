"""A list of whole things is the things alone, whatever stands between and around them (common
practice, no source).

Fasteners and parts of a machine, each with its count before it, in brackets or behind it; what is
said of how they are stands between, where they were before or behind them.
"""

from __future__ import annotations

from types import MappingProxyType

import msgspec
from hypothesis import given, settings, strategies as st

from tagbench.trade.fasteners.reading import read_fasteners
from tests.examples import examples


class _Tongue(msgspec.Struct, frozen=True):
    """Words of one language."""

    things: MappingProxyType[str, tuple[str, ...]]
    """What several are called → sizes that they may have."""
    sorts: tuple[str, ...]
    words: tuple[str, ...]
    """Two, three and four."""
    piece: str
    joints: tuple[str, ...]
    remarks: tuple[str, ...]
    places: tuple[str, ...]


_ENGLISH = _Tongue(
    MappingProxyType(
        {
            "grub screws": ("M6x20",),
            "penny washers": ("M8", "M10"),
            "O-rings": ("", "20x2"),
            "clevis pins": ("6x20", ""),
            "springs": ("",),
            "split pins": ("3.2x32",),
            "R-clips": ("",),
            "brackets": ("",),
            "rubbers": ("",),
        }
    ),
    ("", "long", "small", "rusty", "plain"),
    ("two", "three", "four"),
    "off",
    (", ", " + ", " & ", " / "),
    ("all good", "to be plated", "torque 10 Nm"),
    ("gearbox: ", "off the dynamo - ", "rear brake plate "),
)
_GERMAN = _Tongue(
    MappingProxyType(
        {
            "Madenschrauben": ("M6x6",),
            "U-Scheiben": ("M8",),
            "O-Ringe": ("20x2",),
            "Passstifte": ("8x12",),
            "Federn": ("",),
            "Splinte": ("3,2x32",),
            "Kabelbinder": ("",),
            "Halter": ("",),
        }
    ),
    ("", "lange", "kleine", "rostige"),
    ("zwei", "drei", "vier"),
    "Stück",
    (", ", " + ", " und ", " u. "),
    ("alle gut", "neue bestellt", "gereinigt"),
    ("Getriebe: ", "vom Zylinderkopf - "),
)


@st.composite
def _item(draw: st.DrawFn, tongue: _Tongue, name: str) -> str:
    """`3 long springs`, `(4) brackets`, `rusty O-rings 20x2 x4`."""
    many = draw(st.sampled_from((2, 3, 4)))
    size = draw(st.sampled_from(tongue.things[name]))
    thing = f"{draw(st.sampled_from(tongue.sorts))} {name} {size}".strip()
    word = tongue.words[many - 2]
    ways = (f"{many} {thing}", f"{many}x {thing}", f"({many}) {thing}", f"{word} {thing}",
            f"{thing} x{many}", f"{thing} {many} {tongue.piece}")  # fmt: skip
    return " ".join(draw(st.sampled_from(ways)).split())


@st.composite
def _list(draw: st.DrawFn, tongue: _Tongue) -> tuple[list[str], list[str]]:
    """Three different things, and what joins them."""
    names = draw(st.permutations(sorted(tongue.things)))[:3]
    joints = [draw(st.sampled_from(tongue.joints)) for _ in names[1:]]
    return [draw(_item(tongue, name)) for name in names], joints


def _told(note: str) -> list[tuple[object, ...]]:
    return [
        (line.kind, line.quantity, line.thread, line.diameter, line.length)
        for line in read_fasteners(note).lines
    ]


def _joined(items: list[str], joints: list[str]) -> str:
    return items[0] + "".join(map("".join, zip(joints, items[1:], strict=True)))


_LISTS = st.sampled_from((_ENGLISH, _GERMAN)).flatmap(
    lambda tongue: st.tuples(st.just(tongue), _list(tongue))
)


@given(_LISTS)
@settings(max_examples=examples(400), deadline=None)
def test_a_list_of_three_things_is_the_three_alone(
    said: tuple[_Tongue, tuple[list[str], list[str]]],
) -> None:
    _, (items, joints) = said
    alone = [one for item in items for one in _told(item)]
    note = _joined(items, joints)
    assert _told(note) == alone, note


@given(_LISTS, st.data())
@settings(max_examples=examples(400), deadline=None)
def test_what_stands_between_and_before_them_changes_no_thing(
    said: tuple[_Tongue, tuple[list[str], list[str]]], data: st.DataObject
) -> None:
    tongue, (items, _) = said
    first, second, _ = items
    remark = data.draw(st.sampled_from(tongue.remarks))
    place = data.draw(st.sampled_from(("", *tongue.places)))
    note = f"{place}{first}, {remark}, {second}"
    assert _told(note) == [*_told(first), *_told(second)], note
    owner = read_fasteners(note).lines[len(_told(first)) - 1]
    assert owner.torque or remark in f"{owner.words} {owner.place}", note
