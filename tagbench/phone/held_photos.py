"""Photos of forms that came back: a browser drops them then, so the bench computer keeps them."""

from __future__ import annotations

import dataclasses
import os
import secrets
import shutil
import tempfile
from collections import OrderedDict, defaultdict
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from tagbench.book.operations.pictures import Sent
from tagbench.errors import BadInput
from tagbench.phone.forms import UPLOAD_PREFIX
from tagbench.records import Phone

KEPT = 3
"""Forms of one phone whose photos are kept; those of the oldest go."""
GONE = "The photos that were kept with this form are no longer there: choose them again."


class HeldSet(NamedTuple):
    """Photos that are kept with a form."""

    key: str
    """The name by which the form asks for them; empty when there are none."""
    photos: tuple[Sent, ...]


NO_PHOTOS = HeldSet("", ())


class HeldPhotos:
    """Kept until the form is sent, at most as long as the server runs."""

    def __init__(self) -> None:
        self._folder: Path | None = None
        self._of_phones: defaultdict[int, OrderedDict[str, HeldSet]] = defaultdict(OrderedDict)

    def hold(self, phone: Phone, photos: Iterable[Sent]) -> HeldSet:
        """Takes photos over, their files too; raises OSError when the disk fails."""
        photos = tuple(photos)
        if not photos:
            return NO_PHOTOS
        key = secrets.token_hex(16)
        if self._folder is None:
            self._folder = Path(tempfile.mkdtemp(prefix=f"{UPLOAD_PREFIX}{os.getpid()}-"))
        folder = self._folder / key
        folder.mkdir()
        moved = []
        for number, one in enumerate(photos):
            path = Path(shutil.move(one.path, folder / f"{number:03d}.jpg"))
            moved.append(dataclasses.replace(one, path=path))
        kept = self._of_phones[phone.id]
        kept[key] = HeldSet(key, tuple(moved))
        while len(kept) > KEPT:
            self.drop(phone, next(iter(kept)))
        return kept[key]

    def of(self, phone: Phone, key: str) -> HeldSet:
        """The photos that a form of this phone asks for; raises BadInput when they are gone."""
        if not key:
            return NO_PHOTOS
        held = self._of_phones[phone.id].get(key)
        if held is None:
            raise BadInput(GONE)
        return held

    def drop(self, phone: Phone, key: str) -> None:
        """Takes photos away, once their form was sent or they are not wanted."""
        if self._folder is not None and self._of_phones[phone.id].pop(key, None) is not None:
            shutil.rmtree(self._folder / key)

    def close(self) -> None:
        """Takes everything away."""
        self._of_phones.clear()
        if self._folder is not None:
            shutil.rmtree(self._folder)
            self._folder = None
