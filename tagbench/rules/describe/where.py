"""What is said of where a part is; apart from all else about it, as Find says nothing else."""

from __future__ import annotations

from tagbench.records import Part, Tables
from tagbench.rules.describe.fact import Fact
from tagbench.rules.describe.phrases import day
from tagbench.rules.rebuild.new_piece import kept_lines
from tagbench.rules.whereabouts import elsewhere_words


def where_fact(tables: Tables, part: Part) -> Fact:
    """On the machine, or in which bag, box and shelf."""
    if part.fitted == "off" and (elsewhere := elsewhere_words(part)):
        return Fact("where", elsewhere, "wrong" if part.lost else "open")
    if part.fitted == "off":
        return Fact("where", "; ".join(kept_lines(tables, part)))
    if part.stays_on:
        return Fact("where", "on the machine, never taken off")
    when = f", {day(part.fitted_at)}" if part.fitted_at else ""
    return Fact("where", f"on the machine, {part.fitted}{when}")
