"""The symbol inside a page reads back as the code, and is large enough to be read."""

from __future__ import annotations

import re

import numpy as np
import pytest
import zxingcpp

from labels.code import make_code
from tagbench.reports.symbol_svg import MODULE_MM, symbol_svg

RUN = re.compile(r"M(\d+) (\d+)h(\d+)v1h-\d+z")


def drawn(svg: str, scale: int = 8) -> np.ndarray:
    """The path of the drawing as a picture, `scale` pixels a module."""
    found = re.search(r'viewBox="0 0 (\d+) \1"', svg)
    assert found
    modules = np.full((int(found[1]), int(found[1])), 255, dtype=np.uint8)
    for x, y, length in (map(int, run) for run in RUN.findall(svg)):
        modules[y, x : x + length] = 0
    return np.kron(modules, np.ones((scale, scale), dtype=np.uint8))


@pytest.mark.parametrize("address", ["", "garage.local:8017"])
@pytest.mark.parametrize("serial", [1, 17, 999, 12345])
def test_it_reads_back_as_the_code(serial: int, address: str) -> None:
    """Decoded by zxing-cpp, with and without the phone address."""
    code = str(make_code("TP", serial))
    [found] = zxingcpp.read_barcodes(drawn(symbol_svg(code, address)))
    assert found.text == (f"HTTP://GARAGE.LOCAL:8017/{code}" if address else code)


def test_it_has_its_quiet_zone_and_its_exact_size() -> None:
    """Four modules all round (ISO/IEC 18004), every module 0.6 mm."""
    svg = symbol_svg(str(make_code("TP", 17)))
    modules = drawn(svg, scale=1)
    dark = np.argwhere(modules == 0)
    side = modules.shape[0]
    assert dark.min() == 4 and dark.max() == side - 5
    assert f'width="{side * MODULE_MM:.1f}mm"' in svg
