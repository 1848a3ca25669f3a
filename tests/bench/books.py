"""Invented books of any size, and the same parts in SQLite as the peer has them."""

from __future__ import annotations

import random
import sqlite3
from functools import cache
from pathlib import Path

from labels.code import make_code
from tagbench.book import Book
from tagbench.records import Bin, Fastener, Machine, Part, Tables, Tag, replace

NOUNS = (
    *("backing plate", "brake shoe", "wheel bearing", "carburettor", "return spring", "felt seal"),
    *("operating lever", "chain guard", "throttle cable", "gearbox cover", "steering damper"),
    *("silencer strap", "cylinder gasket", "gudgeon pin", "mudguard stay", "headlamp bracket"),
    *("rear sprocket", "kick start lever", "clutch plate", "fuel tap", "floor panel", "track rod"),
)
SORTS = ("", "upper", "lower", "inner", "outer", "adjuster", "retaining", "polished", "threaded")
PLACES = tuple(
    f"{whole} / {inner}"
    for whole in ("Front wheel", "Rear axle", "Engine", "Load box", "Cab", "Frame", "Pedals")
    for inner in ("Brake", "Controls", "Housing", "Linkage", "Mounting", "Suspension")
)
THREADS = ("M4x0.7", "M5x0.8", "M6x1", "M8x1.25", "1/4-20 UNC", "5/16-18 UNC")
KINDS = ("screw", "bolt", "nut", "stud", "cotter pin", "washer")


@cache
def book_of(count: int) -> Tables:
    """So many invented parts in four hundred bags."""
    dice = random.Random(1967)
    bags = [make_code("BIN", serial) for serial in range(1, 401)]
    parts = {}
    for order in range(1, count + 1):
        code = make_code("TP", order)
        lines = tuple(
            Fastener(
                quantity=dice.randint(1, 8), kind=dice.choice(KINDS), thread=dice.choice(THREADS)
            )
            for _ in range(dice.randint(0, 2))
        )
        parts[code] = Part(
            code=code,
            name=f"{dice.choice(SORTS)} {dice.choice(NOUNS)}".strip(),
            assembly=dice.choice(PLACES),
            position=dice.choice(("", "left", "right")),
            fasteners=lines,
            bin=dice.choice(bags),
            note=dice.choice(("", "light rust at one edge", "witness mark beside the slot")),
            order=order,
        )
    bins = {code: Bin(code=code, name=f"Bag {at}") for at, code in enumerate(bags, 1)}
    return Tables(parts=parts, bins=bins)


def write_book(folder: Path, tables: Tables) -> None:
    """A book of these parts and bins, each with its tag."""
    with Book(folder) as book, book.change("many parts") as transaction:
        transaction.put(Machine(mark="TP", name="Tarnbrook Packman"))
        for table, records in (("bins", tables.bins), ("parts", tables.parts)):
            for code, record in records.items():
                kind = "bin" if isinstance(record, Bin) else "part"
                transaction.set(table, code, record)
                transaction.set("tags", code, replace(Tag(code=code), kind=kind))
        counters = {"TP": len(tables.parts), "BIN": len(tables.bins)}
        transaction.put(replace(transaction.records.desk, serials=counters, machine="TP"))


def write_peer(path: Path, tables: Tables) -> None:
    """The same parts in SQLite, with a trigram index as FTS5 has it."""
    store = sqlite3.connect(path)
    store.execute("pragma synchronous=full")
    store.execute("create table parts(code text primary key, name text, text text)")
    store.execute("create virtual table t using fts5(code, text, tokenize='trigram')")
    rows = [(part.code, part.name, Peer.text(part)) for part in tables.parts.values()]
    store.executemany("insert into parts values (?, ?, ?)", rows)
    store.executemany("insert into t values (?, ?)", [(code, text) for code, _, text in rows])
    store.commit()
    store.close()


class Peer:
    """FTS5 with the trigram tokenizer, asked for any of the query's trigrams, ranked by BM25.

    Asking for all trigrams would find nothing after a slip, so this is its best case.
    """

    def __init__(self, tables: Tables) -> None:
        self.store = sqlite3.connect(":memory:")
        self.store.execute("create virtual table t using fts5(code, text, tokenize='trigram')")
        rows = [(part.code, self.text(part)) for part in tables.parts.values()]
        self.store.executemany("insert into t values (?, ?)", rows)

    @staticmethod
    def text(part: Part) -> str:
        lines = " ".join(f"{f.quantity} {f.thread} {f.kind}" for f in part.fasteners)
        return f"{part.name} {part.assembly} {part.position} {lines} {part.note}"

    def find(self, words: str) -> list[str]:
        """Codes of the twenty best."""
        pieces = {words[at : at + 3] for at in range(len(words) - 2)}
        if not pieces:
            return []
        match = " OR ".join('"' + piece.replace('"', '""') + '"' for piece in sorted(pieces))
        asked = "select code from t where text match ? order by rank limit 20"
        return [code for (code,) in self.store.execute(asked, (match,))]
