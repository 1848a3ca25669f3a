"""Printing through CUPS: at 100 %, and clear words when there is no printer."""

import os
from pathlib import Path

import pytest

from labels.errors import PrinterError
from labels.output.cups import choose_printer, known_printers, print_file
from labels.output.files import write_tags
from labels.stock.catalogue import find_stock
from tests.labels.samples import tag

STOCK = find_stock("a4-3x8-70x37")


def command(folder: Path, name: str, script: str) -> None:
    path = folder / name
    path.write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    path.chmod(0o755)


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for stand-ins of lp and lpstat, before everything else on the path."""
    folder = tmp_path / "bin"
    folder.mkdir()
    monkeypatch.setenv("PATH", f"{folder}{os.pathsep}/usr/bin{os.pathsep}/bin")
    return folder


@pytest.fixture
def printers(bench: Path) -> Path:
    """Two printers; lp writes down what it was asked."""
    command(bench, "lpstat", 'case "$1" in -e) echo roll; echo laser;; '
            '-d) echo "system default destination: laser";; esac')  # fmt: skip
    command(bench, "lp", f'printf "%s\\n" "$@" > {bench}/asked; echo "request id is laser-1"')
    return bench


def test_printers_are_listed_the_default_first(printers: Path) -> None:
    assert [(one.name, one.is_default) for one in known_printers()] == [
        ("laser", True),
        ("roll", False),
    ]


def test_a_sheet_goes_out_at_its_own_size(printers: Path, tmp_path: Path) -> None:
    """`print-scaling=none` is PWG 5100.13; the other options are those of older CUPS filters."""
    (file,) = write_tags([tag()], STOCK, tmp_path / "tags.pdf").files
    assert print_file(file, STOCK, "roll") == "roll"
    asked = (printers / "asked").read_text(encoding="utf-8").splitlines()
    assert asked[:2] == ["-d", "roll"]
    options = {asked[at + 1] for at, word in enumerate(asked) if word == "-o"}
    assert {"print-scaling=none", "fit-to-page=false", "number-up=1"} <= options
    assert "media=iso_a4_210x297mm" in options
    assert not {word for word in options if "fit" in word and "false" not in word}
    assert asked[-2:] == ["--", str(file)]


def test_without_a_name_the_default_printer_is_used(printers: Path) -> None:
    assert choose_printer() == "laser"


def test_an_unknown_printer_is_refused_with_the_known_ones(printers: Path) -> None:
    with pytest.raises(PrinterError, match="no printer 'plotter'; there is laser, roll"):
        choose_printer("plotter")


def test_no_printer_at_all_is_said(bench: Path) -> None:
    command(bench, "lpstat", 'echo "lpstat: No destinations added." >&2; exit 1')
    assert known_printers() == []
    with pytest.raises(PrinterError, match="no printer set up; write a PDF"):
        choose_printer()


def test_a_machine_without_cups_says_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(PrinterError, match=r"needs CUPS.*a PDF file and print") as caught:
        known_printers()
    assert caught.value.exit_code == 1


def test_a_printing_system_that_refuses_is_quoted(printers: Path, tmp_path: Path) -> None:
    command(printers, "lp", 'echo "lp: Error - the printer is not accepting jobs." >&2; exit 1')
    with pytest.raises(PrinterError, match="refused: lp: Error - the printer is not"):
        print_file(tmp_path / "tags.pdf", STOCK, "roll")


def test_a_scheduler_that_is_not_running_is_quoted(bench: Path) -> None:
    command(bench, "lpstat", 'echo "lpstat: Connection refused" >&2; exit 1')
    with pytest.raises(PrinterError, match="Connection refused"):
        known_printers()


@pytest.mark.parametrize(
    ("stock", "media"),
    [
        ("a4-3x8-70x37", "iso_a4_210x297mm"),
        ("letter-3x10-66.7x25.4", "na_letter_8.5x11in"),
        ("roll-62x29-300", "Custom.62x29mm"),
    ],
)
def test_standard_paper_goes_out_by_its_name(
    printers: Path, tmp_path: Path, stock: str, media: str
) -> None:
    """Self-describing names of PWG 5101.1 (Media Standardized Names 2.0); rolls have none."""
    shelf = find_stock(stock)
    (file,) = write_tags([tag()], shelf, tmp_path / "tags.pdf").files
    print_file(file, shelf, "roll")
    asked = (printers / "asked").read_text(encoding="utf-8").splitlines()
    assert f"media={media}" in asked
