"""A photo from a phone: decoded, turned upright, stripped of where it was taken, made smaller."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path

from PIL import Image, ImageCms

from labels.upright import upright
from tagbench.book.exif import taken
from tagbench.errors import BadInput
from tagbench.phone.limits import PhoneLimits

FORMATS = ("JPEG", "PNG")
"""What is decoded; of a JPEG with a second picture in it (MPO) the first one."""
_JPEGS = ("JPEG", "MPO")
_PNG_END = b"IEND\xaeB`\x82"
"""The last chunk of a PNG with its check sum (W3C PNG, 11.2.5)."""
QUALITY = 85
CUT_SHORT = "The picture is broken: its end is missing. Send it once more."
LOOKED_AT_SIDE = 4000
"""The long side of a photo in which tags are looked for, pixels."""
_BROKEN = (OSError, SyntaxError, ValueError, EOFError, zlib.error, struct.error, MemoryError)
# ISO/IEC 23008-12: the brands that HEIC files begin with, after their length and "ftyp".
_HEIC_BRANDS = (b"heic", b"heix", b"hevc", b"mif1", b"msf1")


@dataclass(frozen=True)
class KeptPicture:
    """A photo fit to be kept."""

    path: Path
    """A JPEG file without any metadata."""
    taken: datetime | None
    """When it was taken, by its camera; local time with offset."""


@cache
def formats() -> tuple[str, ...]:
    """The formats that can be decoded here; HEIC with the extra `tagbench[heic]` only."""
    try:
        import pillow_heif
    except ImportError:
        return FORMATS
    pillow_heif.register_heif_opener()
    return (*FORMATS, "HEIF")


def write_clean_copy(source: Path, target: Path, limits: PhoneLimits) -> KeptPicture:
    """Decodes `source` and writes it to `target` as it may be kept.

    Raises BadInput when it is no picture, is broken, or has too many pixels (told from its
    head, before it is decoded); OSError only when the disk fails.
    """
    with opened(source, limits, limits.photo_side) as image:
        when = taken(image)
        plain = _plain(image, limits.photo_side)
    plain.save(target, "JPEG", quality=QUALITY, optimize=True)
    return KeptPicture(target, when)


def look_at(source: Path, limits: PhoneLimits) -> Image.Image:
    """A photo of tags, upright and grey, large enough for their symbols to be read.

    Raises BadInput like `clean`.
    """
    with opened(source, limits, LOOKED_AT_SIDE) as image:
        image.thumbnail((LOOKED_AT_SIDE, LOOKED_AT_SIDE), Image.Resampling.BOX)
        return upright(_eight_bits(image), image).convert("L")


@contextmanager
def opened(
    source: Path, limits: PhoneLimits, side: int, more_formats: Sequence[str] = ()
) -> Iterator[Image.Image]:
    """A picture that is to become `side` pixels long; what is broken is told as BadInput.

    Its head must promise no more pixels than may be held in memory.
    """
    try:
        with Image.open(source, formats=(*formats(), *more_formats)) as image:
            _refuse_size(image, limits, side)
            if not _ends(image.format or "", source):
                raise BadInput(CUT_SHORT)
            yield image
    except Image.DecompressionBombError:
        raise BadInput(_too_many(limits.photo_pixels)) from None
    except _BROKEN as error:
        raise BadInput(_no_picture(source)) from error


def _refuse_size(image: Image.Image, limits: PhoneLimits, side: int) -> None:
    """Looks at the pixels that decoding would take; a JPEG is decoded at a fraction of its size."""
    if image.width * image.height > limits.photo_pixels:
        raise BadInput(_too_many(limits.photo_pixels))
    held = image.width * image.height
    if image.format in _JPEGS and not image.info.get("progressive"):
        largest = max(image.size)
        shape = (image.width * side // largest or 1, image.height * side // largest or 1)
        image.draft("RGB", shape)
        held = image.width * image.height
    if held > limits.decoded_pixels:
        raise BadInput(_too_many(limits.decoded_pixels))


def _ends(form: str, source: Path) -> bool:
    """Whether a picture has its end, which the decoders do not miss once all pixels are there."""
    if form in _JPEGS:
        return _jpeg_ends(source.read_bytes())
    return form != "PNG" or _PNG_END in source.read_bytes()


def _jpeg_ends(data: bytes) -> bool:
    """Whether the first picture of a JPEG has its end marker (ITU-T T.81, annex B.1.1.2).

    A thumbnail in the head has an end of its own, so
    the segments before the first scan are passed over.
    """
    at = 2
    while data[at : at + 1] == b"\xff" and data[at + 1 : at + 2] != b"\xda":
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return data.find(b"\xff\xd9", at) >= 0


def _too_many(most: int) -> str:
    millions = most // 1_000_000
    return f"The picture has more than {millions} megapixels; take it with a smaller setting."


def _no_picture(source: Path) -> str:
    with source.open("rb") as file:
        head = file.read(12)
    if head[4:8] == b"ftyp" and head[8:] in _HEIC_BRANDS and "HEIF" not in formats():
        return (
            "This is a HEIC picture, which the bench computer reads after: "
            ".venv/bin/pip install -e '.[heic]'; "
            "or set the camera to JPEG."
        )
    return "This is not a picture that can be shown, or it is broken: send a JPEG or PNG."


def _plain(image: Image.Image, side: int) -> Image.Image:
    """The picture alone: upright, RGB, at most `side` pixels long, nothing beside the pixels."""
    # Made small before it is turned, so that no second copy of all its pixels is held.
    image.thumbnail((side, side), Image.Resampling.LANCZOS)
    coloured = _in_common_colours(upright(_eight_bits(image), image))
    bare = Image.new("RGB", coloured.size, "white")
    bare.paste(coloured, mask=coloured.getchannel("A") if coloured.mode == "RGBA" else None)
    return bare


def _eight_bits(image: Image.Image) -> Image.Image:
    """A grey picture of 16 bits with 8: merely converted, all that is not black would be white."""
    if not image.mode.startswith("I"):
        return image
    highest = image.getextrema()[1]
    assert isinstance(highest, int | float)
    scale = 255 / 65535 if highest > 255 else 1.0
    return image.point(lambda level: level * scale + 0).convert("L")


def _in_common_colours(image: Image.Image) -> Image.Image:
    """RGB or RGBA in the colours of sRGB, since the camera's own profile is not kept."""
    profile = image.info.get("icc_profile")
    clear = "A" in image.getbands() or "transparency" in image.info
    plain = image.convert("RGBA" if clear else "RGB")
    if not profile or clear:
        return plain
    try:
        own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        common = ImageCms.createProfile("sRGB")
        return ImageCms.profileToProfile(plain, own, common) or plain
    except (ImageCms.PyCMSError, OSError, ValueError):  # a broken profile: the pixels are good
        return plain
