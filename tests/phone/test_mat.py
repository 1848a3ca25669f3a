"""The mat photographed with the phone: told at once, and waiting on the bench."""

from __future__ import annotations

import re
from pathlib import Path

from aiohttp import FormData

from tagbench.measure.waiting import measured, waiting
from tagbench.phone.events import MatPhotographed
from tests.measure.conftest import gasket_picture, laid_picture
from tests.phone.conftest import Bench, PhoneClient

__all__ = ["gasket_picture", "laid_picture"]  # rendered pictures


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
    bench: Bench, phone: PhoneClient, folder: Path, laid_picture: Path, gasket_picture: Path
) -> None:
    """Screws and a gasket; both stand there, and the result is not reckoned a second time."""
    status, page = await send(phone, laid_picture.read_bytes(), "fasteners")
    assert status == 200, page
    assert "M6x1x25 hex" in page
    assert "caliper" in page
    assert any(isinstance(event, MatPhotographed) for event in bench.events)
    (one,) = waiting(folder)
    assert one.measured
    found = measured(one.picture)
    assert sum(group.quantity for group in found.groups) == 6
    status, page = await send(phone, gasket_picture.read_bytes(), "gasket")
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
