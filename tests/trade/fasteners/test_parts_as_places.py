"""Every part of the table is read as where the fasteners sat, however it is said.

The parts are common practice (no source), as the table says.
"""

import pytest

from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.published import read_table

_PARTS = [row["words"] for row in read_table("part_words")]
_WAYS = {
    "4 {} screws M6x16": (4, "screw", "M6x1", 16.0),
    "2 M5x10 screws {}": (2, "screw", "M5x0.8", 10.0),
    "3 M8 nuts, {}": (3, "nut", "M8x1.25", None),
    "{}: 2 bolts M8x30": (2, "bolt", "M8x1.25", 30.0),
    "{} 2 M8x30": (2, "screw", "M8x1.25", 30.0),
}
#: They are something else there: a number of something (`box 2`), a handful, `4 off`, `4 gauge`.
_OTHERWISE = frozenset(
    ("plate", "con rod", "wire nuts", "off side", "gauge bezel", "cylinder", "jet", "gear", "grip",
     "box", "rack", "boîte", "poignée", "poignée tournante", "poignée de gaz", "poignée gaz",
     "poignée de porte", "head", "testa")
)  # fmt: skip


@pytest.mark.sampled(5)
@pytest.mark.parametrize("first", range(5))
@pytest.mark.parametrize("way", _WAYS)
def test_a_part_is_where_the_fasteners_sat(way: str, first: int) -> None:
    misread = []
    for part in _PARTS[first::5]:
        reading = read_fasteners(way.format(part))
        told = [(one.quantity, one.kind, one.thread, one.length) for one in reading.lines]
        where = reading.lines[0].place.casefold() if reading.lines else ""
        whole = told == [_WAYS[way]] and where == part.casefold() and reading.whole
        if part not in _OTHERWISE and not (whole and not reading.asks):
            misread.append(part)
    assert not misread
