"""Where sizes come from stays with a line that is edited and means the same piece."""

from __future__ import annotations

from tagbench.records import Fastener, replace
from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.fasteners.sizes_from import keep_measured

FROM = "measured from a picture: 25.1 ±0.2 mm long; 5.9 ±0.1 mm across"


def measured(text: str) -> list[Fastener]:
    """Lines that a picture gave."""
    return [replace(one, measured=FROM) for one in read_fasteners(text).lines]


def test_another_spelling_or_number_of_the_same_piece_keeps_its_source() -> None:
    """`3x M6x25 hex` is `2x M6x1x25 hex` counted again; a word about its place changes nothing."""
    before = measured("2x M6x1x25 hex; 4x washer 6.4x12")
    for text in ("3x M6x25 hex", "2x M6x1x25 hex, long one at the rear", "M6x25 cheese head"):
        after = keep_measured(before, read_fasteners(text).lines)
        assert [one.measured for one in after][:1] == [FROM], text


def test_another_size_is_the_persons_own() -> None:
    """M6x30 was not measured; nor is a second line of the same when one was."""
    before = measured("2x M6x1x25 hex")
    now = read_fasteners("2x M6x1x30 hex; 2x M6x1x25 hex; 2x M6x1x25 hex").lines
    assert [one.measured for one in keep_measured(before, now)] == ["", FROM, ""]
