"""The mat photographed with the phone: told at once, and waiting on the bench."""

from __future__ import annotations

import re
from pathlib import Path

import cv2
import pytest
from aiohttp import FormData

from tagbench.measure.waiting import measured, waiting
from tagbench.phone.events import MatPhotographed
from tests.measure.conftest import SHAPE
from tests.measure.pieces import Screw, lay_screw
from tests.measure.scene import Scene, Shot, render
from tests.phone.conftest import Bench, PhoneClient


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


async def send(phone: PhoneClient, picture: bytes, what: str) -> tuple[int, str]:
    """The form of the page, filled and sent."""
    token = re.search(r'name="form" value="([0-9a-f]+)"', await phone.page("/mat"))
    assert token is not None
    form = FormData()
    form.add_field("form", token[1])
    form.add_field("what", what)
    form.add_field("photo", picture, filename="photo.jpg", content_type="image/jpeg")
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
    """It is taken again at once; nothing waits."""
    del bench
    status, page = await send(phone, b"no picture", "fasteners")
    assert (status, "not a picture" in page) == (409, True)
    assert waiting(folder) == []
