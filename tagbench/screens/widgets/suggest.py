"""What a field proposes to complete what was typed: known words, and paths on the disk."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable, Iterable
from pathlib import Path

from textual.suggester import Suggester

from tagbench.book.operations.photos import PICTURE_ENDINGS
from tagbench.rules.stripping.completion import complete


class KnownWords(Suggester):
    """Proposes the rest of what was typed from known texts; → takes it."""

    def __init__(self, known: Callable[[], Iterable[str]]) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._known = known

    async def get_suggestion(self, value: str) -> str | None:
        return complete(value, self._known()) or None


class KnownPaths(Suggester):
    """Proposes pictures and folders that begin with the path typed so far."""

    def __init__(self) -> None:
        super().__init__(use_cache=False, case_sensitive=True)

    async def get_suggestion(self, value: str) -> str | None:
        if not value:
            return None
        found = await asyncio.to_thread(completions, value, 1)
        return found[0] if found else None


def completions(typed: str, limit: int) -> list[str]:
    """Paths that complete `typed`, folders (with a slash at the end) and pictures, by name.

    `~` stays as it was typed. A folder that cannot be read has none.
    """
    start = typed.rpartition("/")[2]
    head = typed[: len(typed) - len(start)]
    where = Path(head).expanduser() if head else Path()
    try:
        entries = sorted(os.scandir(where), key=lambda entry: entry.name.casefold())
    except OSError:
        return []
    fitting = (entry for entry in entries if _fits(entry, start))
    named = (head + entry.name + ("/" if entry.is_dir() else "") for entry in fitting)
    return [path for path, _ in zip(named, range(limit), strict=False)]


def _fits(entry: os.DirEntry[str], start: str) -> bool:
    if entry.name.startswith(".") and not start.startswith("."):
        return False
    if not entry.name.casefold().startswith(start.casefold()):
        return False
    return entry.is_dir() or Path(entry.name).suffix.casefold() in PICTURE_ENDINGS


def common_start(paths: list[str], typed: str) -> str:
    """As much as all paths have in common, at least what was typed."""
    common = typed
    for letters in zip(*(path[len(typed) :] for path in paths), strict=False):
        if len(set(letters)) > 1:
            break
        common += letters[0]
    return common
