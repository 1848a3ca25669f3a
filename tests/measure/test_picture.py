"""Picture files of every kind, sound and broken: numbers come out, or one sentence."""

from __future__ import annotations

import io
import random
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tagbench.errors import BadInput
from tagbench.measure.picture import open_picture

SIZE = (320, 240)


def drawn(mode: str) -> Image.Image:
    """Light on the left, dark on the right."""
    ramp = np.tile(np.linspace(230, 30, SIZE[0]).astype(np.uint8), (SIZE[1], 1))
    if mode.startswith("I;16"):
        return Image.fromarray(ramp.astype(np.uint16) * 257)
    if mode in ("I", "F"):
        return Image.fromarray(ramp.astype(np.int32 if mode == "I" else np.float32) * 257)
    return Image.fromarray(ramp).convert(mode)


def written(path: Path, image: Image.Image, **how: Any) -> Path:
    """The file, by its ending."""
    image.save(path, **how)
    return path


@pytest.mark.parametrize(
    ("mode", "ending"),
    [
        ("1", "png"), ("L", "jpg"), ("LA", "png"), ("P", "gif"), ("P", "png"), ("RGB", "webp"),
        ("RGBA", "png"), ("CMYK", "jpg"), ("CMYK", "tif"), ("YCbCr", "jpg"), ("I;16", "png"),
        ("I;16", "tif"), ("F", "tif"), ("RGB", "bmp"),
    ],
)  # fmt: skip
def test_every_kind_of_picture_is_read(mode: str, ending: str, tmp_path: Path) -> None:
    """Its size is right, and light is light: CMYK and 16 bits are not turned over."""
    picture = open_picture(written(tmp_path / f"one.{ending}", drawn(mode)))
    assert picture.size == SIZE
    grey = picture.grey.astype(float)
    assert grey[:, :40].mean() > grey[:, -40:].mean() + 80


def test_a_picture_that_lies_on_its_side_is_turned(tmp_path: Path) -> None:
    """As its file says (Exif, orientation 6: a quarter turn to the right)."""
    exif = Image.Exif()
    exif[0x0112] = 6
    picture = open_picture(written(tmp_path / "one.jpg", drawn("RGB"), exif=exif))
    assert picture.size == SIZE[::-1]
    assert picture.grey[:20].mean() > picture.grey[-20:].mean() + 80


def test_of_an_animation_the_first_picture_counts(tmp_path: Path) -> None:
    """As it is shown in most places."""
    later = Image.new("P", SIZE)
    path = written(tmp_path / "one.gif", drawn("P"), save_all=True, append_images=[later])
    assert open_picture(path).grey[:, :40].mean() > 150


def test_what_is_no_picture_says_so(tmp_path: Path) -> None:
    """Nothing, text, a folder, one dot, more dots than any camera has: a sentence each."""
    empty, text = tmp_path / "empty.jpg", tmp_path / "text.png"
    empty.touch()
    text.write_text("no picture at all")
    dot = written(tmp_path / "dot.png", Image.new("L", (1, 1)))
    huge = tmp_path / "huge.png"
    stream = io.BytesIO()
    Image.new("1", (8, 8)).save(stream, "png")
    data = bytearray(stream.getvalue())
    for side in ((70_000, 70_000), (12_000, 9_000)):
        # the width and height of IHDR (PNG, third edition, 11.2.1) and no checksum that holds
        data[16:24] = side[0].to_bytes(4, "big") + side[1].to_bytes(4, "big")
        huge.write_bytes(data)
        with pytest.raises(BadInput):
            open_picture(huge)
    for path in (empty, text, dot, tmp_path, tmp_path / "missing.jpg"):
        with pytest.raises(BadInput) as said:
            open_picture(path)
        assert str(said.value).endswith(".")
        assert "\n" not in str(said.value)


@pytest.mark.parametrize("ending", ["jpg", "png", "tif", "gif", "webp", "bmp"])
def test_a_damaged_file_never_ends_in_anything_but_a_sentence(ending: str, tmp_path: Path) -> None:
    """Cut short at any place, or with bytes changed at random."""
    whole = written(tmp_path / f"whole.{ending}", drawn("RGB")).read_bytes()
    chance = random.Random(7)
    broken = tmp_path / f"broken.{ending}"
    for turn in range(40):
        data = bytearray(whole)
        if turn % 2:
            del data[chance.randrange(len(data)) :]
        else:
            for _ in range(chance.choice((1, 4, 40))):
                data[chance.randrange(min(len(data), 600))] = chance.randrange(256)
        broken.write_bytes(data)
        try:
            open_picture(broken)
        except BadInput as said:
            assert "\n" not in str(said)
