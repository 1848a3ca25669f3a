"""The mat: what is printed, and that the middle stays plain."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from labels.symbols.symbol import modules_along
from tagbench.measure.mat import (
    EDGE_MM,
    MODULE_MM,
    MODULES,
    PAPERS,
    SYMBOL_MM,
    Paper,
    mat_points,
    plain_middle,
)
from tests.commands.conftest import Tagbench, folder, tagbench
from tests.measure.scene import MAT_PER_MM, printed_mat

__all__ = ["folder", "tagbench"]  # fixtures of the commands


@pytest.mark.parametrize("paper", list(PAPERS))
def test_the_middle_is_plain_and_symbols_keep_their_quiet_zone(paper: Paper) -> None:
    """150 x 200 mm without ink; four modules of quiet zone (ISO/IEC 18004) towards it."""
    sheet, box = printed_mat(paper), plain_middle(paper)
    assert (box.width, box.height) == (150, 200)
    top, left = round(box.y * MAT_PER_MM), round(box.x * MAT_PER_MM)
    middle = sheet[top : top + 200 * MAT_PER_MM, left : left + 150 * MAT_PER_MM]
    assert float(middle.min()) == pytest.approx(float(sheet.max()))
    assert modules_along(mat_points(paper)[0].symbol.version) == MODULES
    assert box.x - (EDGE_MM + SYMBOL_MM) >= 4 * MODULE_MM - 1e-9


@pytest.mark.parametrize("paper", list(PAPERS))
def test_every_symbol_says_another_point(paper: Paper) -> None:
    """No two payloads alike, none off the page."""
    points = mat_points(paper)
    assert len({point.payload for point in points}) == len(points) == 14
    places = np.array([(point.x, point.y) for point in points])
    assert (places >= EDGE_MM - 1e-9).all()
    assert (places + SYMBOL_MM <= np.array(PAPERS[paper]) - 4).all()


def test_the_mat_is_written(tagbench: Tagbench, tmp_path: Path) -> None:
    """As PDF, for both papers; without a target it says what is missing."""
    for paper in PAPERS:
        said = tagbench("mat", "--paper", paper, "-o", str(tmp_path / "mat.pdf"), "--json")
        assert (said.code, said.json["points"]) == (0, 14)
    assert tagbench("mat").code == 2
