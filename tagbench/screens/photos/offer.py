"""A folder of pictures, each offered for a part until the person confirms it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import timedelta
from pathlib import Path

from tagbench.book import Book
from tagbench.book.operations.photos import Folder, propose
from tagbench.errors import BadInput
from tagbench.records import Part, Tables
from tagbench.rules.photos_by_time import Match, clock_guesses, spell_ahead
from tagbench.screens.widgets.columns import columns

ROOMY = 55
"""From so many columns on it is said in full why a part is offered."""


class Offer:
    """What was found in a folder, and the parts that the person chose."""

    def __init__(self, found: Folder, ahead: timedelta) -> None:
        """`ahead`: how far the camera's clock runs ahead."""
        self.found = found
        self.ahead = ahead
        self.chosen: dict[str, str] = {}
        """Picture → code of the part that the person chose for it."""

    def matches(self, book: Book, mark: str) -> list[Match]:
        """The pictures with the parts they are offered for, in the order they were taken."""
        return propose(book, self.found, mark, self.ahead)

    def code_of(self, match: Match) -> str:
        """Code of the part for a picture: the one chosen, else the one offered."""
        return self.chosen.get(match.picture, match.code)

    def pairs(self, matches: Sequence[Match], marked: Collection[str]) -> list[tuple[Path, str]]:
        """The marked pictures with their parts; BadInput for one that has none."""
        pairs = [(Path(m.picture), self.code_of(m)) for m in matches if m.picture in marked]
        without = [path.name for path, code in pairs if not code]
        if without:
            raise BadInput(f"{without[0]} has no part yet; Enter chooses one.")
        return pairs

    def put_on(self, marked: Collection[str]) -> None:
        """These pictures are in the book now."""
        found = self.found
        gone = tuple(path for path, _ in found.pictures if str(path) in marked)
        left = tuple(one for one in found.pictures if str(one[0]) not in marked)
        self.found = Folder(left, (*found.known, *gone), found.unreadable)

    def words(self, matches: Sequence[Match], parts: Sequence[Part]) -> str:
        """How many pictures there are, and what another setting of the clock would find."""
        found = self.found
        words = [f"{len(matches)} pictures, {len(found.known)} more are in the book already"]
        words += [f"{len(found.unreadable)} cannot be read"] if found.unreadable else []
        times = {str(path): time for path, time in found.pictures}
        hits = sum(bool(match.code) for match in matches)
        for guess, more in clock_guesses(times, parts)[:1]:
            if guess != self.ahead and more > hits:
                words.append(f"with the clock {spell_ahead(guess)} ahead {more} find a part")
        return "; ".join(words)

    def draw(self, match: Match, tables: Tables, width: int) -> list[str]:
        """Two lines: the picture and its part; when it was taken and why that part."""
        code = self.code_of(match)
        part = tables.parts.get(code)
        taken = f"{match.taken:%d %b %H:%M}" if match.taken else "no time"
        why = "chosen by you" if match.picture in self.chosen else match.words
        if width < ROOMY:
            why = why.replace(" it was written down", "")
        whose = f"{part.name} {code}" if part is not None else "no part"
        return [
            columns(width, (Path(match.picture).name, 13), (f"→ {whose}", 0), gap=2),
            columns(width, (taken, 13), (why, 0), gap=2),
        ]
