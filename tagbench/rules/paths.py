"""Assembly paths such as `Front wheel / Brake`, spelled in one way."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

SEPARATOR = " / "


@lru_cache(maxsize=4096)  # a list names the same few assemblies thousands of times
def spell_path(text: str) -> str:
    """`front wheel/ Brake` → `front wheel / Brake`: one blank around each slash, no empty steps."""
    steps = (" ".join(step.split()) for step in text.replace("\\", "/").split("/"))
    return SEPARATOR.join(step for step in steps if step)


def same_path(one: str, other: str) -> bool:
    """Whether two paths name the same assembly, whatever their case and blanks."""
    return spell_path(one).casefold() == spell_path(other).casefold()


class Spellings:
    """The spellings of paths that a book uses already; the first one of a path counts."""

    def __init__(self, known: Iterable[str] = ()) -> None:
        self._known: dict[str, str] = {}
        for path in known:
            self.add(path)

    def add(self, path: str) -> None:
        """Takes in a path as it is spelled."""
        self._known.setdefault(spell_path(path).casefold(), path)

    def of(self, text: str) -> str:
        """The spelling used for this path, else the path spelled in one way."""
        wanted = spell_path(text)
        return self._known.get(wanted.casefold(), wanted)


def known_spelling(text: str, known: Iterable[str]) -> str:
    """The spelling already used in the book for this path, else the path spelled in one way."""
    return Spellings(known).of(text)


def within(path: str, outer: str) -> bool:
    """Whether `path` is the assembly `outer` or a part of it."""
    inner, whole = spell_path(path).casefold(), spell_path(outer).casefold()
    return inner == whole or inner.startswith(whole + SEPARATOR) or not whole
