"""What a picture file says of itself: when it was taken, by a camera, with what lens.

Exif 2.32 (CIPA DC-008-2019); the numbers are those of its tags.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image

_PRIVATE = 0x8769
"""The Exif IFD, the block of what the camera wrote."""
_MAKER, _MODEL, _CHANGED = 0x010F, 0x0110, 0x0132
_EXPOSURE, _TAKEN, _OFFSET, _FOCAL_35 = 0x829A, 0x9003, 0x9011, 0xA405
"""Tags of that block: ExposureTime, DateTimeOriginal, OffsetTimeOriginal, FocalLengthIn35mmFilm."""


def taken(picture: Image.Image) -> datetime | None:
    """When it was taken, else when it was changed; local time where it names no offset.

    None when it says neither in a way that can be read.
    """
    exif = picture.getexif()
    private = exif.get_ifd(_PRIVATE)
    text = str(private.get(_TAKEN) or exif.get(_CHANGED) or "").strip("\0 ")
    offset = str(private.get(_OFFSET) or "").strip("\0 ")
    for form, value in (("%Y:%m:%d %H:%M:%S%z", text + offset), ("%Y:%m:%d %H:%M:%S", text)):
        try:
            found = datetime.strptime(value, form)
            return found if found.tzinfo else found.astimezone()
        except (ValueError, OverflowError):  # a year before calendars that computers know
            continue
    return None


def by_camera(picture: Image.Image) -> bool:
    """Whether a camera took it: it names its maker or model, and how long it exposed."""
    exif = picture.getexif()
    exposed = bool(exif.get_ifd(_PRIVATE).get(_EXPOSURE))
    return exposed and bool(exif.get(_MAKER) or exif.get(_MODEL))


def focal_35(picture: Image.Image) -> float | None:
    """The focal length as for film of 36 × 24 mm, in mm; None where it is not told."""
    told = picture.getexif().get_ifd(_PRIVATE).get(_FOCAL_35)
    return float(told) if told else None
