"""A list under headings that fold: by assembly, by kind."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from typing import TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Heading:
    """The heading of a group."""

    name: str
    """Its name."""
    count: int
    """How many rows stand under it."""
    folded: bool
    """Whether they are hidden."""

    @property
    def key(self) -> str:
        """Its key among the rows; no code looks like it."""
        return f"/{self.name}"

    @property
    def words(self) -> str:
        """`- Front wheel / Brake   (7)`: a plus where there is something folded away."""
        return f"{'+' if self.folded else '-'} {self.name}   ({self.count})"


def grouped(
    items: Iterable[T], group_of: Callable[[T], str], folded: Collection[str] = ()
) -> list[Heading | T]:
    """The items under headings, groups and items in the order in which they first come."""
    groups: dict[str, list[T]] = {}
    for item in items:
        groups.setdefault(group_of(item), []).append(item)
    rows: list[Heading | T] = []
    for name, members in groups.items():
        rows.append(Heading(name, len(members), name in folded))
        if name not in folded:
            rows += members
    return rows
