"""The next steps of the rebuild, and what to lay out on the bench before starting."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tagbench.records import Part, Tables
from tagbench.records.care_steps import LUBING
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.bins import path_words
from tagbench.rules.buying.single_use import in_stock
from tagbench.rules.care.pieces import care_of
from tagbench.rules.count.fastener_lines import FastenerLine, lines_of, renewed_items
from tagbench.rules.paths import within
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.rules.rebuild.new_piece import NewPiece, new_piece, to_fetch
from tagbench.rules.rebuild.order import rebuild_order
from tagbench.rules.rebuild.overview import tonight_with
from tagbench.rules.rebuild.reach import in_front
from tagbench.rules.stacks import going_on_lines
from tagbench.rules.twins import twin_of, twin_words
from tagbench.trade.fasteners.vocabulary import lock_item
from tagbench.trade.tools.bench import Tool, bench_list


@dataclass(frozen=True, slots=True)
class Supply:
    """A single-use item to lay out."""

    what: str
    """The item, without its number."""
    quantity: int
    """How many are wanted."""
    in_stock: int
    """How many the drawer has."""

    @property
    def to_buy(self) -> int:
        """How many the drawer is short of."""
        return max(0, self.quantity - self.in_stock)

    @property
    def words(self) -> str:
        """`2 × cotter pin 3.2x32 (5 in stock)`, `… (none in stock, buy first)`."""
        stand = f"{self.in_stock or 'none'} in stock"
        if self.to_buy:
            stand += f", buy {self.to_buy} first" if self.in_stock else ", buy first"
        return f"{self.quantity} × {self.what} ({stand})"


@dataclass(frozen=True, slots=True)
class Step:
    """One part to put on."""

    number: int
    """Its place in the list, from 1."""
    part: Part
    """The part."""
    kept_in: str
    """Where what goes on is, as a path of bins or how it came; empty when it is in none."""
    new: NewPiece | None
    """Where a part is replaced: the new one that goes on, and the old one that does not."""
    fetch: list[str]
    """The bags to fetch for it."""
    after: list[Part]
    """The parts it goes on after, straight links only."""
    under: list[Part]
    """Parts already on that must come off first; they were put on too early."""
    tools: list[str]
    """Spanners, keys and drivers for its fasteners."""
    torques: list[FastenerLine]
    """Its fasteners with a torque."""
    grease: list[str]
    """What it is lubed with, and what its fasteners are locked with."""
    renew: list[FastenerLine]
    """Its single-use fasteners."""
    stack: list[str]
    """Its shims, washers, plates in the order in which they go on, and the measured sum."""
    beside: list[str]
    """What is not to be mixed up with it: its twin."""
    supplies: list[Supply]
    """The new items it takes, with what the drawer has."""


@dataclass(frozen=True, slots=True)
class LayOut:
    """What to have on the bench for some steps."""

    bins: list[str]
    """The bags and boxes to fetch."""
    tools: list[str]
    """Spanners, keys and drivers."""
    torques: list[FastenerLine]
    """The torques to be given."""
    grease: list[str]
    """Greases, oils and thread lock."""
    single_use: list[Supply]
    """New items, with what the drawer has."""


def next_steps(tables: Tables, mark: str, count: int) -> list[Step]:
    """The next `count` parts that can go on with what is here, one after the other."""
    links = links_of(tables, mark)
    places = [links.at(code) for code in tonight_with(tables, links)[:count]]
    return _steps(tables, links, places)


def all_steps(tables: Tables, mark: str) -> list[Step]:
    """Every part still off the machine in rebuild order, whether it could go on yet or not."""
    links = links_of(tables, mark)
    return _steps(tables, links, [place for place in rebuild_order(links) if links.off(place)])


def off_in(tables: Tables, mark: str, assembly: str) -> list[str]:
    """The parts of an assembly that are still off the machine, as codes in rebuild order."""
    links = links_of(tables, mark)
    parts = (links.parts[place] for place in rebuild_order(links) if links.off(place))
    return [part.code for part in parts if within(part.assembly, assembly)]


def step_for(tables: Tables, links: Links, code: str, number: int = 1) -> Step:
    """One part as a step, whatever stands in its way. Raises NotFound."""
    here = links.at(code)
    part = links.parts[here]
    lines = list(lines_of([part]))
    new = new_piece(tables, part)
    return Step(
        number=number,
        part=part,
        kept_in=new.where if new else path_words(bin_of(part), tables.bins),
        new=new,
        fetch=list(to_fetch(tables, part)),
        after=[links.parts[inner] for inner in reversed(links.deeper[here])],
        under=[links.parts[outer] for outer in sorted(in_front(links, [here]))],
        tools=bench_tools(tables, [part]),
        torques=[line for line in lines if line.fastener.torque],
        grease=_grease(part),
        renew=[line for line in lines if line.fastener.single_use],
        stack=going_on_lines(part),
        beside=[twin_words(twin)] if (twin := twin_of(tables, part)) else [],
        supplies=_supplies(tables, [line for line in lines if line.fastener.single_use]),
    )


def bench_layout(tables: Tables, steps: Iterable[Step]) -> LayOut:
    """What to have on the bench for these steps; each thing once."""
    steps = list(steps)
    return LayOut(
        bins=_once(bag for step in steps for bag in step.fetch),
        tools=bench_tools(tables, [step.part for step in steps]),
        torques=[line for step in steps for line in step.torques],
        grease=_once(item for step in steps for item in step.grease),
        single_use=_supplies(tables, [line for step in steps for line in step.renew]),
    )


def _steps(tables: Tables, links: Links, places: Iterable[int]) -> list[Step]:
    codes = links.codes(places)
    return [step_for(tables, links, code, number) for number, code in enumerate(codes, 1)]


def tool_words(tool: Tool) -> str:
    """`spanner 10 mm (or 11 mm ISO 272)`, with how many when more than one is needed at once."""
    if tool.tool == "torque wrench":
        return tool.tool  # its settings stand with the torques
    many = f"{tool.pieces} × " if tool.pieces > 1 else ""
    others = f" (or {', '.join(tool.others)})" if tool.others else ""
    return f"{many}{tool.tool} {tool.size}".rstrip() + others


def bench_tools(tables: Tables, parts: Sequence[Part]) -> list[str]:
    """Spanners, keys and drivers for the fasteners of parts of one machine, each once."""
    machine = tables.machines.get(parts[0].machine) if parts else None
    fasteners = [line for part in parts for line in part.fasteners]
    tools = bench_list(fasteners, machine.year if machine else None)
    return _once(map(tool_words, tools))


def _is_compound(lock: str) -> bool:
    return lock_item(lock) == "thread lock"


def _grease(part: Part) -> list[str]:
    lubes = [
        step.with_what for step in care_of(part) if step.step == LUBING.name and step.with_what
    ]
    locks = [lock for line in part.fasteners for lock in line.locking if _is_compound(lock)]
    return _once([*lubes[-1:], *locks])


def _supplies(tables: Tables, lines: Iterable[FastenerLine]) -> list[Supply]:
    wanted: dict[str, int] = {}
    for line in lines:
        if not line.fastener.renewed:
            for what in renewed_items(line):
                wanted[what] = wanted.get(what, 0) + line.fastener.quantity
    return [Supply(what, quantity, _stock(tables, what)) for what, quantity in wanted.items()]


def _stock(tables: Tables, what: str) -> int:
    item = in_stock(tables, what)
    return item.quantity if item else 0


def _once(items: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(items))
