"""The tables beside the code: each names its source, and its words can be used."""

from __future__ import annotations

from pathlib import Path

import pytest

import tagbench.trade
from tagbench.errors import BadInput
from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.fasteners.vocabulary import THREADED_KINDS, locking_phrases, phrases
from tagbench.trade.published import read_table
from tagbench.trade.threads import all_threads, parse_thread
from tagbench.trade.tools.spanners import spanner_sizes
from tests.every import every
from tests.fasteners import parse_fastener

_TABLES = sorted((Path(tagbench.trade.__file__).parent / "tables").glob("*.csv"))
_SAID = ("memory", "no source", "IEC", "ISO", "ASME", "BS ", "DIN", "Shigley")


@pytest.mark.parametrize("path", _TABLES, ids=lambda path: path.stem)
def test_every_table_names_its_source_and_has_whole_rows(path: Path) -> None:
    head = [line for line in path.read_text(encoding="utf-8").splitlines() if line[:2] == "# "]
    assert head
    if path.stem != "sources":
        assert any(word in " ".join(head) for word in _SAID)
    found = read_table(path.stem)
    assert found
    assert all(None not in row and None not in row.values() for row in found)


@every(sorted(phrases()))
def test_every_word_of_the_trade_is_read_and_spelled(phrase: tuple[str, ...]) -> None:
    said = phrases()[phrase]
    size = "" if said.get("kind", "screw") not in THREADED_KINDS else "M6"
    kind = "bolt" if "kind" not in said else ""
    if said.get("head") in ("internal", "external") and kind:
        size, kind = "", "circlip"
    found = parse_fastener(f"2x {size} {' '.join(phrase)} {kind}")
    for field, value in said.items():
        if (field, value) != ("drive", "hex socket"):  # a socket head says it already
            assert value in getattr(found, field)
    again = parse_fastener(spell(found))
    assert (again.kind, again.head, again.drive, again.material) == (
        found.kind,
        found.head,
        found.drive,
        found.material,
    )


@every(sorted(locking_phrases()))
def test_every_locking_word_is_read_and_spelled(phrase: tuple[str, ...]) -> None:
    """What keeps it tight stays with the fastener, in the typed words; nuts and washers are pieces
    of their own."""
    said = " ".join(phrase)
    first, *others = read_fasteners(f"M6x20 hex + {said}").lines
    assert (first.thread, first.length) == ("M6x1", 20)
    if others:
        (piece,) = others
        assert (piece.called or piece.kind).casefold().replace("-", " ") == said
        assert not first.locking
        assert parse_fastener(spell(piece)).kind == piece.kind
    else:
        assert [one.removesuffix("s") for one in first.locking] == [said.removesuffix("s")]
        assert parse_fastener(spell(first)).locking == first.locking


def test_no_thread_is_listed_twice() -> None:
    names = [thread.designation for thread in all_threads()]
    assert len(names) == len(set(names))


def test_every_hexagon_belongs_to_a_thread_that_can_be_written() -> None:
    suffix = {"metric": "", "unified": "-UNC", "BA": "BA"}
    for row in read_table("across_flats"):
        size = row["size"]
        text = f"M{size}" if row["system"] == "metric" else f"{size} {row['system']}"
        if row["system"] in suffix and row["system"] != "metric":
            text = f"{size}BA" if row["system"] == "BA" else _any_unified(size)
        if row["system"] == "BSC":
            text = next(t.designation for t in all_threads() if _is_cycle(t.designation, size))
        assert spanner_sizes(parse_thread(text), "nut" if row["part"] == "nut" else "bolt")


def _any_unified(size: str) -> str:
    for series in ("UNC", "UNF"):
        try:
            return parse_thread(f"{size} {series}").designation
        except BadInput:
            continue
    raise AssertionError(size)


def _is_cycle(designation: str, size: str) -> bool:
    return designation.startswith(f"{size}-") and designation.endswith("BSC")
