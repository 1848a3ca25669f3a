"""The ruler page, half-used sheets and bolt cards by command."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from tests.commands.conftest import Tagbench


def test_a_measured_printer_is_corrected_from_then_on(tagbench: Tagbench, tmp_path: Path) -> None:
    tagbench("machine", "add", "Packman", "--mark", "TP")
    ruler = tmp_path / "ruler.pdf"
    assert tagbench("printer", "ruler", "--stock", "a4-3x8-70x37", "-o", str(ruler)).code == 0
    assert ruler.read_bytes().startswith(b"%PDF-")
    measured = ("--left", "21mm", "--across", "170mm", "--top", "19", "--down", "257 mm")
    found = tagbench("printer", "measured", "--stock", "a4-3x8-70x37", *measured, "--json").json
    assert found["shift_x_mm"] == pytest.approx(-1)
    assert found["shift_y_mm"] == pytest.approx(1)
    assert found["scale_x"] == pytest.approx(1)


def test_a_half_used_sheet_goes_on_where_it_was_left(tagbench: Tagbench, tmp_path: Path) -> None:
    tagbench("strip", "drum")
    assert tagbench("printer", "sheet", "a4-3x8-70x37", "24").code == 0
    file = str(tmp_path / "t.pdf")
    told = tagbench("tags", "--all", "--stock", "a4-3x8-70x37", "-o", file, "--json").json
    assert told["next_label"] == 1
    assert tagbench("printer", "sheet", "a4-3x8-70x37", "25").code == 2


def test_a_bolt_card_is_drawn_from_the_places_of_the_screws(
    tagbench: Tagbench, tmp_path: Path
) -> None:
    screws = "3x M6x1x45 hex (12, 4 and 8 o'clock); 2x M6x1x20 hex (2 and 10 o'clock)"
    code = tagbench("strip", "crankcase cover", "--fasteners", screws, "--json").json["code"]
    file = tmp_path / "card.png"
    told = tagbench("boltcard", code, "-o", str(file), "--json").json
    assert told["holes"] == 5
    assert sorted(told["order"]) == [1, 2, 3, 4, 5]
    width, height = Image.open(file).size
    assert width / height == pytest.approx(120 / 70, abs=0.01)


def test_the_queue_is_kept_when_the_output_cannot_be_written(
    tagbench: Tagbench, tmp_path: Path
) -> None:
    code = tagbench("strip", "drum", "--json").json["code"]
    said = tagbench("tags", "--queued", "-o", str(tmp_path / "no" / "t.pdf"))
    assert said.code in (1, 2)
    told = tagbench("tags", "--queued", "-o", str(tmp_path / "t.pdf"), "--printed", "--json").json
    assert told["codes"] == [code]
    assert tagbench("tags", "--queued", "-o", str(tmp_path / "u.pdf")).code == 2


def test_a_file_uses_up_no_label_until_it_is_said_to_be_printed(
    tagbench: Tagbench, tmp_path: Path
) -> None:
    code = tagbench("strip", "drum", "--json").json["code"]
    queued = ("tags", "--queued", "--stock", "a4-3x8-70x37", "--json")
    for name in ("t.pdf", "u.pdf"):
        told = tagbench(*queued, "-o", str(tmp_path / name)).json
        assert told["stock"] == "a4-3x8-70x37"
        assert (told["first_label"], told["next_label"], told["used"]) == (1, 2, False)
    noted = tagbench(*queued, "--printed").json
    assert (noted["codes"], noted["next_label"]) == ([code], 2)
    again = ("tags", code, "--stock", "a4-3x8-70x37", "-o", str(tmp_path / "v.pdf"), "--printed")
    told = tagbench(*again, "--json").json
    assert (told["first_label"], told["next_label"], told["used"]) == (2, 3, True)
    assert tagbench("tags", "--queued", "--printed").code == 2


def test_the_command_that_notes_a_file_means_just_its_tags_on_just_its_labels(
    tagbench: Tagbench, tmp_path: Path
) -> None:
    """Run as it is told, it leaves the next free label where the file ends."""
    code = tagbench("strip", "drum", "--json").json["code"]
    tagbench("strip", "shoe")
    file = ("-o", str(tmp_path / "t.pdf"), "--stock", "a4-3x8-70x37", "--first", "4")
    for asked, after, words in (
        (["--queued"], 6, "--first 4"),
        ([code], 5, f"--first 4 {code}"),
        (["--all"], 6, "--first 4 --all"),
        (["--spare", "2"], 6, "--first 4"),
    ):
        told = tagbench("tags", *asked, *file).out
        command = next(line for line in told.splitlines() if "--printed" in line)
        typed = command.partition("tagbench ")[2]
        assert words in typed
        noted = tagbench(*typed.split(), "--json").json
        assert (noted["first_label"], noted["next_label"]) == (4, after)


def test_no_code_is_given_out_for_spare_tags_that_cannot_be_printed(
    tagbench: Tagbench, tmp_path: Path
) -> None:
    tagbench("strip", "drum")
    assert tagbench("tags", "--spare", "3", "-o", str(tmp_path / "t.gif")).code == 2
    assert tagbench("tags", "--spare", "3", "--stock", "nope", "-o", "t.pdf").code == 2
    assert tagbench("tags", "--spare", "0", "-o", str(tmp_path / "t.pdf")).code == 2
    assert tagbench("strip", "shoe", "--json").json["code"].startswith("A-002-")


def test_a_card_at_1_1_is_drawn_on_plain_paper_from_distances(
    tagbench: Tagbench, tmp_path: Path
) -> None:
    """Three holes of a 3-4-5 triangle; how well they agree is told; rings are the screws' own."""
    code = tagbench("strip", "crankcase cover", "--json").json["code"]
    file = tmp_path / "card.pdf"
    holes = [part for name in "ABC" for part in ("--hole", f"{name}: M6x25")]
    typed = (*holes, "--distances", "A-B 80; A-C 60; B-C 100.4", "--face", "outside")
    told = tagbench("boltcard", code, *typed, "--stock", "a4", "-o", str(file), "--json").json
    assert told["pages"] == 1 and told["true_size"]
    assert "agree within 0.1 mm" in told["residual"]  # three of them always agree
    said = tagbench("boltcard", code, *typed, "--stock", "letter", "-o", str(file)).out
    assert "3 holes" in said and "check the bar" in said
    wrong = tagbench("boltcard", code, *holes, "--distances", "A-B 80", "-o", str(file))
    assert wrong.code == 2 and "Hole A has 1 distance" in wrong.err
    far = [part for x in (0, 400) for part in ("--hole", f"{x} 0: M6x25")]
    told = tagbench("boltcard", code, *far, "--stock", "a4", "-o", str(file), "--json").json
    assert told["pages"] == 4
