"""Pins with wire colours: two letters of IEC 60757, as found against as the diagram says."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from tagbench.errors import BadInput
from tagbench.records import Part, Pin, Wiring
from tagbench.rules.wiring import pin_rows, pin_words, read_pins, spell_pins, written
from tagbench.trade.wire_colours import codes, colour_words, read_colour
from tests.trade.published import rows

PART = Part(code="TP-017-7", name="Main loom")


def test_the_codes_are_those_of_the_standard() -> None:
    """IEC 60757 table 1, as printed in GOST 28763-90 (IEC 757:1983)."""
    published = {row["code"]: row["colour"] for row in rows("wire_colours")}
    assert codes() == published


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("bn", "BN"),
        ("brown", "BN"),
        ("green/yellow", "GNYE"),
        ("GNYE", "GNYE"),
        ("blue with yellow", "BUYE"),
        ("wh-bk", "WHBK"),
        ("gray", "GY"),
        ("red black stripe", "RDBK"),
    ],
)
def test_colours_are_read_as_people_write_them(typed: str, code: str) -> None:
    assert read_colour(typed) == code


@pytest.mark.parametrize("typed", ["", "N", "mud", "BNX", "xx", "BN BK RD WH"])
def test_what_is_no_colour_is_refused_with_the_codes(typed: str) -> None:
    with pytest.raises(BadInput, match=r"BK, BN|three colours"):
        read_colour(typed)


def test_pins_are_read_with_where_they_go_and_what_the_diagram_says() -> None:
    pins = read_pins("1 BN tail lamp; 2: black earth; B+ blue with yellow horn (diagram GN)")
    assert pins == (
        Pin(pin="1", colour="BN", goes_to="tail lamp"),
        Pin(pin="2", colour="BK", goes_to="earth"),
        Pin(pin="B+", colour="BUYE", goes_to="horn", drawn="GN"),
    )
    table = pin_rows(Wiring(pins=pins))
    assert [row.differs for row in table] == [False, False, True]
    assert pin_words(table[2]) == "B+: BUYE (blue with yellow) to horn; the diagram says GN"


@pytest.mark.parametrize(
    "text", ["1 mud lamp", "BN", "1 BN lamp; 1 BK earth", "1 BN lamp (diagram mud)"]
)
def test_what_is_no_pin_is_refused(text: str) -> None:
    with pytest.raises(BadInput):
        read_pins(text)


def test_a_diagram_is_named_only_where_a_pin_says_what_it_has() -> None:
    with pytest.raises(BadInput, match="diagram"):
        written(PART, "1 BN lamp", "", "sheet 4")
    assert written(PART, "", "", "").wiring is None
    assert written(PART, "", "left of the frame", "").wiring == Wiring(routing="left of the frame")


COLOURS = st.lists(st.sampled_from(sorted(codes())), min_size=1, max_size=2).map("".join)


@given(
    st.lists(
        st.builds(
            Pin,
            pin=st.from_regex(r"[0-9]{1,2}|[A-F][0-9]?", fullmatch=True),
            colour=COLOURS,
            goes_to=st.sampled_from(["", "tail lamp", "earth", "horn push"]),
            drawn=st.just("") | COLOURS,
        ),
        min_size=1,
        max_size=6,
        unique_by=lambda pin: pin.pin.casefold(),
    )
)
def test_pins_are_read_back_as_they_are_spelled(pins: list[Pin]) -> None:
    assert read_pins(spell_pins(pins)) == tuple(pins)
    assert all(colour_words(pin.colour) for pin in pins)
