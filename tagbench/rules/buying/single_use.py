"""Single-use items by size: how many are wanted, what the drawer has, what is to be bought."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from tagbench.records import Fastener, Part, StockItem, Tables, replace
from tagbench.rules.care.inspecting import part_kind
from tagbench.rules.care.needs import waiting_codes
from tagbench.rules.find.pairs import phrases_in, trade_pairs
from tagbench.rules.find.words import stems
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.fasteners.vocabulary import (
    is_single_use,
    lock_item,
    single_use_items,
    without_size,
)


@dataclass(frozen=True)
class Needed:
    """One single-use item of one size, over all parts that want it."""

    what: str
    """The item in its standard spelling, `cotter pin 3.2x32`."""
    quantity: int
    """How many the rebuild still wants."""
    in_stock: int
    """How many the drawer has."""
    on_order: int
    """How many are wanted already and have not arrived."""
    parts: tuple[str, ...]
    """Codes of the parts they are for."""

    @property
    def to_buy(self) -> int:
        """How many are still to be bought."""
        return max(0, self.quantity - self.in_stock - self.on_order)


def needed(tables: Tables, mark: str = "") -> list[Needed]:
    """All single-use items that are not renewed yet, of one machine or of all, by name and size."""
    waiting = waiting_codes(tables)
    found: dict[str, list[tuple[str, int, str]]] = {}
    for part in sorted(tables.parts.values(), key=lambda p: (p.machine, p.order, p.code)):
        if mark in ("", part.machine):
            for what, quantity in _items(part, waiting):
                found.setdefault(item_key(what), []).append((what, quantity, part.code))
    stock = _by_key((item.what, item.quantity) for item in tables.stock.values())
    coming = _by_key((w.what, w.quantity) for w in tables.wants.values() if w.arrived is None)
    rows = [
        Needed(
            what=lines[0][0],
            quantity=sum(quantity for _, quantity, _ in lines),
            in_stock=stock.get(key, 0),
            on_order=coming.get(key, 0),
            parts=tuple(dict.fromkeys(code for _, _, code in lines)),
        )
        for key, lines in found.items()
    ]
    return sorted(rows, key=lambda row: stems(row.what))


def _items(part: Part, waiting: Collection[str]) -> Iterator[tuple[str, int]]:
    """What is used once on a part: its lines, what locks its lines, and the part itself."""
    own = own_kinds(part)
    for line in part.fasteners:
        if line.single_use and not line.renewed:
            yield from ((what, line.quantity) for what in line_items(line, own))
    kind = part_kind(part)
    off = part.fitted == "off" and part.verdict == "undecided" and part.make is None
    if off and kind is not None and kind.renew and part.code not in waiting:
        yield _part_words(part), part.quantity


def own_kinds(part: Part) -> set[str]:
    """Keys of the kinds that a part has lines of its own for."""
    return {item_key(line.kind) for line in part.fasteners}


def line_items(line: Fastener, own: Collection[str] = ()) -> Iterator[str]:
    """What a line marked single-use renews: the fastener itself, or only what locks it.

    `own`: keys of the kinds that the part has a line of its own for, which count there.
    """
    once = single_use_items(line.kind, line.material, line.locking)
    locks = [lock for lock in line.locking if lock_item(lock) in once]
    if len(once) > len(set(map(lock_item, locks))) or not once:
        yield item_words(line)
    for lock in locks:
        if item_key(lock_item(lock)) in own:
            continue
        if without_size(lock) != lock:
            yield lock
        else:
            yield f"{lock} for {line.thread or line.kind}"


def _part_words(part: Part) -> str:
    return f"{part.said} ({part.assembly})" if part.assembly else part.said


def item_words(line: Fastener) -> str:
    """A fastener alone: `cotter pin 3.2x32`, `self-locking nut M8x1.25`."""
    usual = is_single_use(line.kind, line.material, ())
    bare = replace(line, quantity=1, locking=(), torque=None, place="", single_use=usual)
    return spell(bare if line.kind == "other" else replace(bare, note=""))


_MM = re.compile(r"(?<=[0-9])\s*mm\b")


@lru_cache(maxsize=4096)
def item_key(text: str) -> str:
    """The same for the same item however it is called: split pin and cotter pin, any order.

    A size without a unit is in mm, so that unit says nothing.
    """
    words = list(stems(_MM.sub("", text)))
    for begin, end, phrase in sorted(phrases_in(words), key=lambda span: span[0] - span[1]):
        if all(words[begin:end]):
            words[begin:end] = [_one_name(phrase)] + [""] * (end - begin - 1)
    return " ".join(sorted(_one_name(word) for word in words if word))


def _one_name(term: str) -> str:
    """One term for all that are the very same thing."""
    same = [other for other, near in trade_pairs().get(term, {}).items() if near == 1]
    return min([term, *same])


def _by_key(items: Iterable[tuple[str, int]]) -> Mapping[str, int]:
    found: dict[str, int] = {}
    for what, quantity in items:
        found[item_key(what)] = found.get(item_key(what), 0) + quantity
    return found


def in_stock(tables: Tables, what: str) -> StockItem | None:
    """The stock line of an item however it is called; the fullest when there are several."""
    lines = [item for item in tables.stock.values() if item_key(item.what) == item_key(what)]
    return max(lines, key=lambda item: item.quantity, default=None)


def drawer(tables: Tables, mark: str = "") -> list[Needed]:
    """Every item the drawer has or the rebuild wants, by name and size.

    Lines of stock that nothing asks for now are among them, with nothing wanted.
    """
    rows = needed(tables, mark)
    asked = {item_key(row.what) for row in rows}
    coming = _by_key((w.what, w.quantity) for w in tables.wants.values() if w.arrived is None)
    idle: dict[str, Needed] = {}
    for item in tables.stock.values():
        key = item_key(item.what)
        if key not in asked:
            line = idle.get(key, Needed(item.what, 0, 0, coming.get(key, 0), ()))
            idle[key] = dataclasses.replace(line, in_stock=line.in_stock + item.quantity)
    return sorted([*rows, *idle.values()], key=lambda row: stems(row.what))
