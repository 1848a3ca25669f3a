"""The paper of a book: what reports and drawings are laid out on."""

from __future__ import annotations

from tagbench.records.desk import Desk

PAPERS = ("a4", "letter")
"""The papers there are."""


def book_paper(desk: Desk) -> str:
    """The paper that was chosen; else Letter where the label stock in use is, and A4 everywhere
    else."""
    if desk.paper:
        return desk.paper
    return "letter" if desk.stock.casefold().startswith("letter") else "a4"
