"""The count in plain lines: figures first, then every open line with its name for a reason."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tagbench.records import Machine, Tables
from tagbench.rules.bins import kept_in_words
from tagbench.rules.count.closing import OpenLine, open_lines
from tagbench.rules.count.fastener_lines import in_bag, lost
from tagbench.rules.count.found_fastener import Missed
from tagbench.rules.count.identity import Count
from tagbench.rules.count.mixed_threads import mixed_threads


def count_lines(tables: Tables, count: Count, machine: Machine) -> Iterator[str]:
    """The count of one machine."""
    yield f"{machine.name} ({machine.mark})"
    yield from figure_lines(count)
    yield from thread_lines(count)
    for sentence in mixed_threads(thread.thread for thread in count.threads):
        yield f"  take care: {sentence}"
    yield from bag_lines(tables, count)
    yield ""
    yield from open_text(open_lines(count), machine)


def figure_lines(count: Count) -> Iterator[str]:
    """How many parts and fasteners are out and back."""
    on = count.parts - len(count.parts_off)
    yield f"  parts      {count.parts} in the book, {on} on, {len(count.parts_off)} off"
    gone = sum(lost(line.fastener) for line in count.missing)
    bag = sum(in_bag(line.fastener) for line in count.missing)
    yield (
        f"  fasteners  {count.fasteners_out} out = {count.fasteners_back} back"
        f" + {bag} in the bag + {gone} lost"
    )


def thread_lines(count: Count) -> Iterator[str]:
    """The fasteners by thread, as a table."""
    if count.threads:
        width = max(len(one.thread) for one in count.threads)
        yield f"  {'':{width}}   out  back  in bag  lost"
        for one in count.threads:
            figures = f"{one.out:5} {one.back:5} {one.in_bag:7} {one.lost:5}"
            yield f"  {one.thread:{width}} {figures}"


def bag_lines(tables: Tables, count: Count) -> Iterator[str]:
    """The bins that are not empty yet."""
    for bag in count.bags:
        where = kept_in_words(bag.bin, tables.bins)
        yield f"  not empty: {where} ({', '.join(part.name for part in bag.parts)})"


def open_text(lines: Iterable[OpenLine], machine: Machine) -> Iterator[str]:
    """Each open line with the name by which a reason is given, and the reason if there is one."""
    lines = list(lines)
    for line in lines:
        reason = machine.closed_with.get(line.key)
        yield f"  open: {line.words}  [{line.key}]"
        if reason:
            yield f"        closed all the same: {reason}"
    if not lines:
        yield "Nothing missing, nothing left over."
    if machine.closed:
        yield f"Closed on {machine.closed:%Y-%m-%d %H:%M}."
    elif not lines:
        yield "Close the machine with: count --close"


def missed_lines(text: str, hits: list[Missed]) -> list[str]:
    """The parts that miss a fastener like the one found."""
    if not hits:
        return [f"Nothing misses {text}, nor anything near it."]
    return [
        f"{'fits' if hit.fits else 'near':5} {hit.line.part.code}  {hit.line.part.name}: "
        f"{hit.line.spelled} — {lost(hit.line.fastener)} lost, {in_bag(hit.line.fastener)} "
        f"should be in the bag ({hit.words})"
        for hit in hits
    ]
