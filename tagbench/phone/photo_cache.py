"""Photos as a phone gets them: found in the records, made small, kept in memory."""

from __future__ import annotations

import hashlib
import io
import threading
from collections import OrderedDict
from pathlib import Path

from PIL import Image

from labels.upright import upright
from tagbench.errors import BadInput, NotFound
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.pictures import opened
from tagbench.records import Part

SIDE = 1280
"""The long side of a photo on a page, pixels."""
KEPT_BYTES = 24 * 1024**2
"""Shrunken photos kept in memory, all together."""
_BROKEN = (OSError, ValueError, BadInput)


class PhotoCache:
    """Photos by the part's record and their number in it; a name from outside never gets here."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._kept: OrderedDict[str, bytes] = OrderedDict()
        self._bytes = 0
        self._guard = threading.Lock()

    def photo(self, part: Part, number: int) -> tuple[str, bytes]:
        """Photo `number` (from 1) of a part as JPEG, and an entity tag that changes when it does.

        Raises NotFound when the part has no such photo, or its file is missing or broken.
        """
        if not 1 <= number <= len(part.photos):
            raise NotFound(f"{part.name} has no photo {number}.")
        path = self._folder / Path(part.photos[number - 1].file).name
        try:
            changed = path.stat().st_mtime_ns
            etag = hashlib.sha256(f"{path.name} {changed}".encode()).hexdigest()[:32]
            return etag, self._known(etag) or self._keep(etag, _shrunk(path))
        except _BROKEN as error:
            raise NotFound(
                f"Photo {number} of {part.name} is missing or broken; check the book."
            ) from error

    def _known(self, etag: str) -> bytes | None:
        with self._guard:
            if etag in self._kept:
                self._kept.move_to_end(etag)
            return self._kept.get(etag)

    def _keep(self, etag: str, data: bytes) -> bytes:
        with self._guard:
            self._bytes += len(data) - len(self._kept.get(etag, b""))
            self._kept[etag] = data
            while self._bytes > KEPT_BYTES:
                _, dropped = self._kept.popitem(last=False)
                self._bytes -= len(dropped)
        return data


def _shrunk(path: Path) -> bytes:
    with opened(path, PhoneLimits(), SIDE, ("WEBP", "GIF", "BMP", "TIFF")) as image:
        # Made small before anything else, so that no second copy of all its pixels is held.
        image.thumbnail((SIDE, SIDE), Image.Resampling.LANCZOS)
        plain = upright(image).convert("RGB")
        bare = Image.new("RGB", plain.size)
        bare.paste(plain)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=80)
    return out.getvalue()
