"""`wants`, `stock`, `number` and `photos` as a person types them."""

from __future__ import annotations

import csv
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image

from tests.commands.conftest import Tagbench


@pytest.fixture
def seal(tagbench: Tagbench) -> str:
    """A felt seal behind a hub that is held with a cotter pin."""
    hub = tagbench("strip", "hub", "--fasteners", "2x cotter pin 3.2x32", "--json").json["code"]
    words = ("strip", "felt seal", "--from", "Hub", "--behind", hub, "--part-number", "12-34")
    return str(tagbench(*words, "--json").json["code"])


def test_a_want_from_add_to_arrival(tagbench: Tagbench, seal: str) -> None:
    """Price with a comma, what it holds up, ordered, overdue never before the day, here."""
    tagbench("mark", seal, "replace")
    tagbench("wants", "edit", "1", "--price", "3,50", "--supplier", "Felt & Son")
    (want,) = tagbench("wants", "--json").json
    assert (want["price"], want["currency"], want["number"]) == ("3.50", "EUR", "12-34")
    assert (want["standing"], want["cost"], len(want["holds_up"])) == ("to order", "3.50", 2)
    told = tagbench("wants", "order", "1", "--due", "in 2 weeks", "--json").json
    assert told["standing"] == "ordered"
    assert "Felt & Son: 3.50 EUR" in tagbench("wants").out
    assert "the new felt seal" in tagbench("wants", "arrive", "1").out
    assert tagbench("show", seal, "--json").json["replacement"] == "here"
    assert tagbench("wants", "--json").json == []
    assert len(tagbench("wants", "--all", "--json").json) == 1
    assert tagbench("wants", "arrive", "1").code == 2


@pytest.mark.parametrize(
    "words",
    [
        ("add",),
        ("add", "x", "--for", "TP-001-A"),
        ("add", "x", "--price", "1,250"),
        ("add", "x", "--price", "-3"),
        ("add", "x", "--quantity", "0"),
        ("add", "x", "--due", "3/4/2026"),
        ("order", "9"),
        ("order",),
        ("arrive", "9"),
        ("drop", "9"),
        ("shop", "-o", "list.pdf"),
    ],
)
def test_what_cannot_be_is_one_sentence_and_exit_2(
    tagbench: Tagbench, seal: str, words: tuple[str, ...]
) -> None:
    """And nothing is on the list afterwards."""
    told = tagbench("wants", *words)
    assert told.code == 2
    assert len(told.err.strip().splitlines()) == 1
    assert tagbench("wants", "--json").json == []


def test_wants_without_a_part_are_general_supplies(tagbench: Tagbench, seal: str) -> None:
    """They hold up nothing; several are printed as a list; dropped they are gone."""
    one = tagbench("wants", "add", "rags", "--quantity", "2", "--json").json
    assert (one["parts"], one["holds_up"], one["quantity"]) == ([], [], 2)
    two = tagbench("wants", "add", "--for", seal, "--json").json
    assert two["what"] == "felt seal (Hub)"
    assert [w["id"] for w in tagbench("wants", "order", "1", "2", "--json").json] == [1, 2]
    assert [w["id"] for w in tagbench("wants", "--json").json] == [2, 1]
    assert "no longer wanted" in tagbench("wants", "drop", "1", "2").out
    assert "Nothing is wanted" in tagbench("wants").out


def test_single_use_items_and_the_shop_list(tagbench: Tagbench, seal: str, tmp_path: Path) -> None:
    """Collected by size, stock taken off; the list as text and CSV."""
    row = tagbench("stock", "--json").json["single_use"][0]
    assert (row["what"], row["quantity"], row["to_buy"]) == ("cotter pin 3.2x32", 2, 2)
    tagbench("stock", "set", "split pin 3.2 x 32", "1")
    tagbench("mark", seal, "replace")
    assert "[ ] 1 × cotter pin 3.2x32" in tagbench("wants", "shop").out
    file = tmp_path / "shop.csv"
    assert tagbench("wants", "shop", "-o", str(file)).code == 0
    with file.open(encoding="utf-8-sig", newline="") as read:
        rows = list(csv.DictReader(read))
    assert {(row["what"], row["quantity"]) for row in rows} == {
        ("cotter pin 3.2x32", "1"),
        ("felt seal (Hub)", "1"),
    }
    shown = tagbench("wants", "shop", "--json").json
    assert [(row["what"], row["quantity"]) for row in shown] == [
        (row["what"], int(row["quantity"])) for row in rows
    ]
    (want,) = tagbench("wants", "single-use", "--json").json
    assert (want["what"], want["quantity"]) == ("cotter pin 3.2x32", 1)
    assert tagbench("wants", "single-use").code == 2
    tagbench("wants", "arrive", str(want["id"]))
    assert tagbench("stock", "--json").json["stock"][0]["quantity"] == 2
    assert tagbench("stock", "take", "cotter pin 3.2x32", "3").code == 2
    assert tagbench("stock", "take", "cotter pin 3.2x32", "2", "--json").json["quantity"] == 0
    assert tagbench("stock", "add", "rags", "4", "--json").json["quantity"] == 4
    assert tagbench("stock", "drop", "rags").code == 0


def test_part_numbers_and_what_took_their_place(tagbench: Tagbench, seal: str) -> None:
    """The chain to the number to order; a loop is refused; the same part elsewhere."""
    other = tagbench("strip", "felt ring", "--part-number", "12 34", "--json").json["code"]
    told = tagbench("number", seal, "1234", "--by", "12-35", "--json").json
    assert (told["to_order"], told["chain"]) == ("12-35", ["12-34", "12-35"])
    assert told["same_part"] == [other]
    assert "order 12-35 (12 34 → 12-35)" in tagbench("number", other).out
    loop = tagbench("number", seal, "12-35", "--by", "1234")
    assert loop.code == 2
    assert "12-35 is superseded by 1234, which is superseded by 12-35" in loop.err
    tagbench("number", other, "12-35")
    gone = tagbench("number", other, "1235", "--obsolete").out
    assert "is obsolete and no substitute is known" in gone
    spare = tagbench("number", other, "S9", "--differs", "two holes more", "--json").json
    assert spare["to_order"] == "S9"
    assert tagbench("number", other, "--obsolete").code == 2
    assert tagbench("number", other, "X1", "--obsolete").code == 2
    found = tagbench("find", "12.35", "--json").json
    assert {part["code"] for part in found} == {seal, other}


def test_a_folder_of_pictures_is_offered_by_time(
    tagbench: Tagbench, seal: str, tmp_path: Path
) -> None:
    """With --json alone nothing is attached; --yes attaches; a camera ahead is noticed."""
    taken = datetime.fromisoformat(tagbench("show", seal, "--json").json["removed"])
    shots = tmp_path / "shots"
    shots.mkdir()
    exif = Image.Exif()
    ahead = taken + timedelta(hours=1) - timedelta(seconds=5)
    exif.get_ifd(0x8769)[0x9003] = ahead.strftime("%Y:%m:%d %H:%M:%S")
    Image.new("RGB", (8, 8)).save(shots / "a.jpg", exif=exif)
    (row,) = tagbench("photos", "folder", str(shots), "--json").json
    assert (row["code"], row["attached"]) == ("", False)
    assert "--ahead 1:00" in tagbench("photos", "folder", str(shots), "--sure").out
    words = ("photos", "folder", str(shots), "--ahead", "1:00")
    (row,) = tagbench(*words, "--json").json
    assert seal in (row["code"], *row["others"])
    assert not row["attached"]
    assert tagbench(*words).code == 2
    (row,) = tagbench(*words, "--yes", "--json").json
    assert row["attached"]
    (photo,) = tagbench("photos", "list", row["code"], "--json").json
    assert photo["original"] == str(shots / "a.jpg")
    described = tagbench("photos", "describe", row["code"], "1", "--caption", "front", "--json")
    assert described.json["photos"][0]["caption"] == "front"
    assert tagbench("photos", "drop", row["code"], "1").code == 0
    assert tagbench("photos", "drop", row["code"], "1").code == 2
    assert tagbench("photos", "add", seal, str(shots / "a.jpg"), "--json").code == 0
    assert tagbench("photos", "folder", str(tmp_path / "none")).code == 2
    assert tagbench(*words[:-1], "soon").code == 2


def test_the_wrong_one_came_and_goes_back(tagbench: Tagbench) -> None:
    """The want stays open until the right one is here."""
    tagbench("machine", "add", "Packman", "--mark", "TP")
    number = str(tagbench("wants", "add", "brake cable", "--json").json["id"])
    assert tagbench("wants", "wrong", number).code == 2
    tagbench("wants", "order", number)
    assert "the wrong one came" in tagbench("wants", "wrong", number, "--what", "left-hand").out
    assert "sent back" in tagbench("wants", "sent-back", number).out
    said = tagbench("wants", "settled", number, "refunded", "--json").json
    assert (said["ordered"], said["wrong"][0]["settled"]) == (None, "refunded")
