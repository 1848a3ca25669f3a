"""The one question of the command is answered as the index of the screens answers it."""

from __future__ import annotations

import random

import pytest

from labels.code import make_code
from tagbench.records import Bin, Fastener, Part, PartNumber, Photo, Tables
from tagbench.rules.find.index import Index
from tagbench.rules.find.once import find_once

NAMES = ("Backing plate", "Brake shoe", "Gudgeon pin", "Chain guard", "Käfig", "Spannerrest 3/8")
PLACES = ("Front wheel / Brake", "Engine", "Rear axle / Linkage", "")
ASKED = (
    *("gudgen pin left", "four M5 screws", "17", "TP-017", "bag 2", "brake show", "13 spanner"),
    *("spanners", "s", "left hand thread", "tp 12", "6202", "4711-b", "box", "rust", "kaefig"),
    *("m8x1.25 10", "wrench 8", "backingplate", "x", "3/8", "no. 4711", "cotter 3.2x32"),
)


def _book(seed: int) -> Tables:
    """Sixty parts with all that find looks at."""
    dice = random.Random(seed)
    box = make_code("BIN", 1)
    bins = {box: Bin(code=box, name="Box 1", kind="box")}
    for serial in range(2, 9):
        code = make_code("BIN", serial)
        bins[code] = Bin(code=code, name=f"Bag {serial}", kept_in=dice.choice(("", box)))
    parts = {}
    for order in range(1, 61):
        code = make_code("TP", order)
        parts[code] = Part(
            code=code,
            name=dice.choice(NAMES),
            assembly=dice.choice(PLACES),
            position=dice.choice(("", "left", "right")),
            quantity=dice.choice((1, 1, 4)),
            order=order,
            bin=dice.choice(("", *bins)),
            note=dice.choice(("", "light rust", "13 mm spanner fits")),
            fasteners=tuple(
                Fastener(
                    quantity=dice.randint(1, 4),
                    kind=dice.choice(("bolt", "nut")),
                    thread=dice.choice(("M5x0.8", "M8x1.25", "M8x1.25 LH", "1/4-20 UNC", "")),
                    length=dice.choice((None, 12.0)),
                )
                for _ in range(dice.randint(0, 2))
            ),
            part_numbers=dice.choice(((), (PartNumber(number="4711-B", superseded_by="4712-B"),))),
            photos=dice.choice(((), (Photo(file="a.jpg", caption="rust on the rim"),))),
        )
    return Tables(parts=parts, bins=bins)


@pytest.mark.sampled(4)
@pytest.mark.parametrize("seed", range(12))
def test_the_same_answers_in_the_same_order(seed: int) -> None:
    """Parts, scores and reasons, with slips, codes, numbers, threads, spanners and bins."""
    tables = _book(seed)
    index = Index(tables)
    for question in ASKED:
        assert find_once(tables, question, 10) == index.find(question, 10), question
        assert find_once(tables, question, 3, "TP") == index.find(question, 3, "TP"), question
