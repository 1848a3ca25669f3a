"""What is different between two states of a book: which records, and what about each, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Literal, NamedTuple

from tagbench.records import (
    Batch,
    Bin,
    LooseItem,
    Machine,
    Part,
    Record,
    Setting,
    StockItem,
    Tables,
    Want,
    to_plain,
)
from tagbench.rules.describe.away import loose_words
from tagbench.rules.describe.bin import describe_bin
from tagbench.rules.describe.fact import Fact
from tagbench.rules.describe.part import describe_part
from tagbench.rules.describe.phrases import counted, quantity
from tagbench.rules.describe.setting import describe_state
from tagbench.rules.describe.want import describe_want
from tagbench.rules.settings.standing import setting_state

WRITTEN = ("machines", "parts", "bins", "wants", "settings", "stock", "batches", "loose")
"""The tables that a person writes; tags, phones and the bench's memory are no work."""
NOTHING = "nothing"
"""Said where one of the two states says nothing."""

How = Literal["changed", "gone now", "came since"]


class Difference(NamedTuple):
    """A record that is not the same in both states."""

    table: str
    """Its table."""
    key: str
    """Its key there: a code, a mark, a number."""
    before: Record | None
    """As it was in the earlier state; None when it was not there."""
    now: Record | None
    """As it is in the later one; None when it is gone."""

    @property
    def how(self) -> How:
        """What became of it."""
        if self.now is None:
            return "gone now"
        return "came since" if self.before is None else "changed"

    @property
    def name(self) -> str:
        """What it is: `Brake drum`, `2 × felt seal`."""
        return record_name(self.now or self.before)


def differences(before: Tables, now: Tables) -> Iterator[Difference]:
    """The records that differ, table by table in the order of `WRITTEN`."""
    for table in WRITTEN:
        old: Mapping[str, Record] = getattr(before, table)
        new: Mapping[str, Record] = getattr(now, table)
        for key in {**old, **new}:
            if old.get(key) != new.get(key):
                yield Difference(table, key, old.get(key), new.get(key))


def record_name(record: Record | None) -> str:
    """What a record is about, in a few words."""
    match record:
        case Part():
            return counted(record)
        case Bin() | Machine():
            return record.name
        case Want() | StockItem():
            return quantity(record.quantity, record.what)
        case Setting():
            return record.what
        case Batch():
            return f"{record.what_for or 'batch'} at {record.who}"
        case LooseItem():
            return loose_words(record)
    return ""


def then_and_now(
    difference: Difference, before: Tables, now: Tables, when: datetime
) -> list[tuple[str, str, str]]:
    """Label, words then, words now, for every fact about the record that differs.

    Empty when the words are the same and only what lies behind them differs, such as a time.
    """
    old = _said(difference.before, before, when)
    new = _said(difference.now, now, when)
    return [
        (label, old.get(label, NOTHING), new.get(label, NOTHING))
        for label in {**old, **new}
        if old.get(label) != new.get(label)
    ]


def _said(record: Record | None, tables: Tables, when: datetime) -> dict[str, str]:
    """Label → all that is said under it."""
    said: dict[str, list[str]] = {}
    for fact in _facts(record, tables, when):
        if fact.words:
            said.setdefault(fact.label or "what", []).append(fact.boxed)
    return {label: "; ".join(words) for label, words in said.items()}


def _facts(record: Record | None, tables: Tables, when: datetime) -> Iterator[Fact]:
    match record:
        case None:
            return
        case Part():
            yield Fact("name", counted(record))
            yield from describe_part(tables, record, when).facts()
        case Bin():
            facts = describe_bin(tables, record)
            yield from (Fact("name", facts.name), facts.where, facts.holds, facts.note)
        case Want():
            yield Fact("name", record_name(record))
            yield from describe_want(tables, record, when.date()).facts()
        case Setting():
            yield Fact("name", record.what)
            yield from describe_state(tables, setting_state(record, tables.parts)).facts()
        case _:
            yield Fact("name", record_name(record))
            for field, value in to_plain(record).items():
                yield Fact(field.replace("_", " "), _shortly(value))


def _shortly(value: object) -> str:
    """The value of a field that no sentence is made of; of a list how many there are."""
    if isinstance(value, list | dict):
        return str(len(value)) if value else ""
    return "" if value is None else str(value)
