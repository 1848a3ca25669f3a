"""The mat photographed with the phone: told at once, and waiting on the bench."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import cv2
import numpy as np
import pytest
from aiohttp import FormData

from tagbench.measure.gasket_outline import find_outline
from tagbench.measure.picture import open_picture
from tagbench.measure.rectification import straighten
from tagbench.measure.waiting import measured, waiting
from tagbench.phone.events import MatPhotographed
from tests.measure.conftest import SHAPE
from tests.measure.pieces import Screw, lay_screw
from tests.measure.scene import Scene, Shot, render
from tests.phone.conftest import Bench, PhoneClient
from tests.phone.test_at_the_machine import token_on


@pytest.fixture
def pictures() -> tuple[bytes, bytes]:
    """A screw, and a gasket with eight bolt holes, each photographed with three megapixels: what
    larger ones measure is tried with the commands."""
    screw = lay_screw(Screw(5.9, 1.0, 25, "hex", 10, 4, 18), (100, 150), 20, 0)
    gasket = (SHAPE.outline, (0.12, 0.2, 0.3), SHAPE.all_holes())
    shot = Shot(size=(2048, 1536), slant=8, stains=0, blur=0.8, seed=4)
    scenes = Scene("a4", [], screw), Scene("a4", [gasket])
    encoded = [cv2.imencode(".jpg", render(scene, shot))[1] for scene in scenes]
    return encoded[0].tobytes(), encoded[1].tobytes()


def square(x: float, y: float, side: float) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """The outline of a piece of paper, mm on the page."""
    corner, corners = np.array((x, y)), np.array(((0, 0), (1, 0), (1, 1), (0, 1)))
    return corner + side * corners


async def send(phone: PhoneClient, picture: bytes, what: str) -> tuple[int, str]:
    """The form of the page, filled and sent."""
    token = re.search(r'name="form" value="([0-9a-f]+)"', await phone.page("/mat"))
    assert token is not None
    form = FormData()
    form.add_field("form", token[1])
    form.add_field("what", what)
    form.add_field("photo", picture, filename="nomat.jpg")
    answer = await phone.post("/mat", data=form)
    return answer.status, await answer.text()


async def test_a_photographed_mat_is_measured_and_waits_on_the_bench(
    bench: Bench, phone: PhoneClient, folder: Path, pictures: tuple[bytes, bytes]
) -> None:
    """A screw and a gasket; both stand there, and the result is not reckoned a second time."""
    status, page = await send(phone, pictures[0], "fasteners")
    assert status == 200, page
    assert "M6x1x25 hex" in page
    assert "caliper" in page
    assert any(isinstance(event, MatPhotographed) for event in bench.events)
    (one,) = waiting(folder)
    assert one.measured
    found = measured(one.picture)
    assert sum(group.quantity for group in found.groups) == 1
    status, page = await send(phone, pictures[1], "gasket")
    assert status == 200, page
    assert "8 bolt holes" in page
    assert [one.measured for one in waiting(folder)].count(False) == 1


async def test_what_shows_no_mat_is_refused_with_what_to_do_and_not_kept(
    bench: Bench, phone: PhoneClient, folder: Path
) -> None:
    """It is taken again at once; nothing waits. The file is called what the person calls it."""
    del bench
    status, page = await send(phone, b"no picture", "fasteners")
    assert (status, page.count("not a picture")) == (409, 1)
    grey = cv2.imencode(".png", np.full((600, 800), 128, np.uint8))[1].tobytes()
    for what in ("fasteners", "gasket"):
        status, page = await send(phone, grey, what)
        assert (status, page.count("No mat is seen in nomat.jpg: ")) == (409, 1)
        assert "tagbench mat -o mat.pdf" in page
        assert "--dpi" not in page
        assert ("selected" in page) == (what == "gasket")
    assert waiting(folder) == []


async def test_one_picture_at_a_time(bench: Bench, phone: PhoneClient, folder: Path) -> None:
    """One was taken and one chosen: neither is dropped in silence."""
    del bench
    form = FormData(default_to_multipart=True)
    form.add_field("form", await token_on(phone, "/mat"))
    for name in ("a.jpg", "b.jpg"):
        form.add_field("photo", b"x", filename=name)
    answer = await phone.post("/mat", data=form)
    assert (answer.status, "one picture at a time" in await answer.text()) == (409, True)
    assert waiting(folder) == []


async def test_what_lies_beside_a_gasket_is_told_as_the_command_tells_it(
    bench: Bench, phone: PhoneClient, folder: Path, tmp_path: Path
) -> None:
    """Two more pieces of paper; the choice of a gasket stands for the next picture."""
    del bench
    brown = (0.12, 0.2, 0.3)
    pieces = [square(60, 70, 50), square(130, 70, 30), square(130, 130, 30)]
    scene = Scene("a4", [(piece, brown, ()) for piece in pieces])
    picture = cv2.imencode(".jpg", render(scene, Shot(size=(2048, 1536), slant=8, stains=0)))[1]
    status, page = await send(phone, picture.tobytes(), "gasket")
    assert status == 200, page
    path = tmp_path / "pieces.jpg"
    path.write_bytes(picture.tobytes())
    [note] = find_outline(straighten(open_picture(path))).notes
    assert note.startswith("2 more pieces on the paper were left out: ")
    assert note in unescape(page)
    assert re.search(r'value="gasket"\s+selected', page)
    assert len(waiting(folder)) == 1
