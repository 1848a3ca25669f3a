"""Straight to a printer through CUPS, at 100 %: `lp` prints, `lpstat` lists."""

import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

from labels.errors import PrinterError
from labels.stock.geometry import Stock

MEDIA = {
    "iso_a4_210x297mm": (210.0, 297.0),
    "iso_a5_148x210mm": (148.0, 210.0),
    "iso_a6_105x148mm": (105.0, 148.0),
    "na_letter_8.5x11in": (215.9, 279.4),
}
"""Standard paper, upright, in mm, by its self-describing name (PWG 5101.1, table 3 and 4)."""
_SAME_PAPER_MM = 0.1
_PATIENCE_S = 30
_UNSCALED = (
    "print-scaling=none",  # PWG 5100.13: print the page at its own size
    "fit-to-page=false",  # the older CUPS filters
    "natural-scaling=100",
    "number-up=1",
    "sides=one-sided",
)


@dataclass(frozen=True, slots=True)
class Printer:
    """A printer that CUPS knows."""

    name: str
    is_default: bool = False


def known_printers() -> list[Printer]:
    """The printers, the default first; empty when there is none.

    Raises `PrinterError` where CUPS is not installed or does not answer.
    """
    names = _ask("lpstat", "-e").split()
    default = _ask("lpstat", "-d").rpartition(":")[2].strip()
    printers = [Printer(name, name == default) for name in names]
    return sorted(printers, key=lambda printer: (not printer.is_default, printer.name))


def print_file(path: Path, stock: Stock, printer: str = "") -> str:
    """Send a finished PDF or PNG to a printer (the default one when no name is given).

    Every option that could scale the page is turned off. Gives the printer's name.
    Raises `PrinterError` when there is no printer, when it is unknown, or when it refuses.
    """
    name = choose_printer(printer)
    options = [part for option in (*_UNSCALED, _media(stock)) for part in ("-o", option)]
    _ask("lp", "-d", name, "-t", "Tags", *options, "--", str(path))
    return name


def choose_printer(name: str = "") -> str:
    """The name of the printer to use; raises `PrinterError` when there is none such."""
    printers = known_printers()
    if not printers:
        raise PrinterError("There is no printer set up; write a PDF file instead.")
    names = [printer.name for printer in printers]
    if not name:
        return names[0]
    if name not in names:
        raise PrinterError(f"There is no printer {name!r}; there is {', '.join(names)}.")
    return name


def _media(stock: Stock) -> str:
    """The paper: by its name where it is a standard one, so that the printer takes it from its
    tray; else by its size in millimetres, so that no other paper is assumed."""
    for media, (width, height) in MEDIA.items():
        off = abs(stock.page_width - width), abs(stock.page_height - height)
        if max(off) <= _SAME_PAPER_MM:
            return f"media={media}"
    return f"media=Custom.{stock.page_width:g}x{stock.page_height:g}mm"


def _ask(*command: str) -> str:
    if not shutil.which(command[0]):
        raise PrinterError(
            "Printing needs CUPS (the commands lp and lpstat), which is not installed here; "
            "write a PDF file and print that at 100 %."
        )
    try:
        answer = subprocess.run(
            command, capture_output=True, text=True, timeout=_PATIENCE_S, check=False
        )
    except subprocess.TimeoutExpired:
        raise PrinterError(f"The printing system did not answer in {_PATIENCE_S} s.") from None
    said = (answer.stderr or answer.stdout).strip().rstrip(".")
    if answer.returncode == 0 or (command[0] == "lpstat" and "No destinations" in said):
        return answer.stdout
    raise PrinterError(f"The printing system refused: {said or answer.returncode}.")
