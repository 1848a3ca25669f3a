"""The count in plain lines: figures first, then every open line with its name for a reason."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tagbench.records import Machine, Tables
from tagbench.rules.bins import kept_in_words
from tagbench.rules.count.fastener_lines import count_lost, in_bag
from tagbench.rules.count.found_fastener import Missed
from tagbench.rules.count.identity import Count
from tagbench.rules.count.mixed_threads import mixed_threads
from tagbench.rules.describe.count import NOTHING_OPEN, CountLine, describe_count
from tagbench.rules.describe.phrases import moment


def count_lines(
    tables: Tables, count: Count, machine: Machine, *, keys: bool = True
) -> Iterator[str]:
    """The count of one machine; `keys`: with the name of each line, by which a reason is given."""
    yield f"{machine.name} ({machine.mark})"
    facts = describe_count(count, machine)
    yield f"  {facts.parts.words}"
    yield f"  {facts.fasteners.words}"
    if facts.together.words:
        yield f"  in one piece, not counted apart: {facts.together.words}"
    yield from thread_table(count)
    for sentence in mixed_threads(thread.thread for thread in count.threads):
        yield f"  take care: {sentence}"
    yield from bag_lines(tables, count)
    yield ""
    for question in facts.questions:
        yield f"  to measure: {question.words}"
    yield from open_text(facts.lines, machine, keys=keys)


def thread_table(count: Count) -> Iterator[str]:
    """The fasteners by thread, as a table."""
    if count.threads:
        width = max(len(one.thread) for one in count.threads)
        yield f"  {'':{width}}   out  back  in bag  away  lost"
        for one in count.threads:
            figures = f"{one.out:5} {one.back:5} {one.in_bag:7} {one.away:5} {one.lost:5}"
            yield f"  {one.thread:{width}} {figures}"


def bag_lines(tables: Tables, count: Count) -> Iterator[str]:
    """The bins that are not empty yet."""
    for bag in count.bags:
        where = kept_in_words(bag.bin, tables.bins)
        yield f"  not empty: {where} ({', '.join(part.said for part in bag.parts)})"


def open_text(lines: Iterable[CountLine], machine: Machine, *, keys: bool = True) -> Iterator[str]:
    """Each open line with the name by which a reason is given, and the reason if there is one."""
    lines = list(lines)
    for line in lines:
        yield f"  open: {line.words}{f'  [{line.key}]' if keys else ''}"
        if line.reason:
            yield f"        closed all the same: {line.reason}"
    if not lines:
        yield NOTHING_OPEN
    if machine.closed:
        yield f"Closed on {moment(machine.closed)}."
    elif not lines:
        yield "Close the machine with: count --close"


def missed_lines(text: str, hits: list[Missed]) -> list[str]:
    """The parts that miss a fastener like the one found."""
    if not hits:
        return [f"No part is missing {text}, or anything near it."]
    return [
        f"{'fits' if hit.fits else 'near':5} {hit.line.part.code}  {hit.line.part.said}: "
        f"{hit.line.spelled} — {count_lost(hit.line.fastener)} lost, {in_bag(hit.line.fastener)} "
        f"should be in the bag ({hit.words})"
        for hit in hits
    ]
