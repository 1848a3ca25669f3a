"""The rebuild by commands: shapes of the JSON, refusals with exit code 2, the whole way round.

3/8–3/4 in is common practice, no source.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.commands.conftest import Tagbench

NUT = "castle nut M12x1.25 + cotter pin 3.2x32, 45-55 N·m"


@pytest.fixture
def codes(tagbench: Tagbench) -> list[str]:
    """Nut, wheel, plate and shoes of a front wheel, each behind the one before, all clean."""
    rows = [
        ("axle nut", "Front wheel", NUT),
        ("front wheel", "Front wheel", "2x M6x20 hex"),
        ("brake plate", "Front wheel / Brake", "4x M5x0.8x12 pan"),
        ("brake shoes", "Front wheel / Brake", ""),
    ]
    made: list[str] = []
    for name, assembly, fasteners in rows:
        behind = ["--behind", made[-1]] if made else []
        words = ["strip", name, "--from", assembly, "--fasteners", fasteners, *behind]
        made.append(tagbench(*words, "--json").json["code"])
    for verb in ("degreased", "reuse"):
        assert tagbench("mark", *made, verb).code == 0
    return made


def test_build_gives_ready_held_up_and_order(tagbench: Tagbench, codes: list[str]) -> None:
    """The deepest is ready; each of the others names what it goes on after."""
    found = tagbench("build", "--json").json
    assert found["ready"] == [codes[3]]
    assert found["order"] == codes[::-1]
    assert [held["code"] for held in found["held_up"]] == [codes[2], codes[1], codes[0]]
    assert all(codes[3 - at] in held["reasons"][0] for at, held in enumerate(found["held_up"]))


def test_build_next_lays_out_the_steps(tagbench: Tagbench, codes: list[str]) -> None:
    """Two steps: the parts, and what they need on the bench."""
    found = tagbench("build", "--next", "2", "--json").json
    assert [step["code"] for step in found["next"]] == [codes[3], codes[2]]
    assert found["lay_out"]["tools"] == found["next"][1]["tools"] != []
    text = tagbench("build", "--next", "4").out
    assert text.startswith("Next steps") and "Lay out first" in text
    assert "cotter pin 3.2x32 (none in stock, buy first)" in text


def test_build_draws_the_links_around_a_part(tagbench: Tagbench, codes: list[str]) -> None:
    """As text."""
    assert "▶ " + codes[1] in tagbench("build", "--around", codes[1]).out


def test_fit_too_early_says_why_and_exits_2(tagbench: Tagbench, codes: list[str]) -> None:
    """One line on stderr with the names; nothing is written."""
    said = tagbench("fit", codes[1])
    assert said.code == 2 and said.out == "" and said.err.count("\n") == 1
    assert codes[2] in said.err and codes[3] in said.err
    assert tagbench("show", codes[1], "--json").json["fitted"] == "off"


def test_fit_anyway_is_recorded_and_open(tagbench: Tagbench, codes: list[str]) -> None:
    """The override stands in the part and in the count."""
    part = tagbench("fit", codes[1], "--anyway", "--why", "to roll it", "--json").json
    assert part["fitted"] == "fitted"
    assert part["overrides"][0]["why"] == "to roll it"
    assert tagbench("count", "--json").json["overrides"][0]["code"] == codes[1]


def test_how_a_part_goes_on(tagbench: Tagbench, codes: list[str]) -> None:
    """Torque, castle nut, what it would shut in, cautions; nothing is written down."""
    guide = tagbench("fit", codes[0], "--how", "--json").json
    assert guide["would_shut_in"] == codes[:0:-1]
    assert guide["fasteners"][0]["torque"] == "45–55 N·m"
    text = tagbench("fit", codes[0], "--how").out
    for words in ("too early: axle nut", "Which is it?", "maker's manual"):
        assert words in text
    assert tagbench("show", codes[0], "--json").json["fitted"] == "off"


def test_a_dirty_part_is_held_up(tagbench: Tagbench, codes: list[str]) -> None:
    """Every reason is named."""
    dirty = tagbench("strip", "horn", "--json").json["code"]
    said = tagbench("fit", dirty)
    assert said.code == 2 and "not degreased" in said.err and "reuse or replace" in said.err


def test_torque_outside_its_range_is_refused(tagbench: Tagbench, codes: list[str]) -> None:
    """In any unit; inside it is written down in the unit of the range."""
    for code in codes[:0:-1]:
        assert tagbench("fit", code).code == 0
    assert tagbench("fit", codes[0], "--torque", "80 N·m").code == 2
    said = tagbench("fit", codes[0], "--torque", "36 lbf·ft", "--json").json
    # 36 lbf·ft = 36 × 1.3558179483 N·m (NIST SP 811, from the pound, 9.80665 m/s² and the foot)
    assert said["fasteners"][0]["torqued"] == pytest.approx(48.80944614, abs=1e-6)


@pytest.mark.parametrize(
    "words",
    [
        ("--snug", "--torque", "50 N·m"),
        ("--torque", "45-55 N·m"),
        ("--torque", "9=50 N·m"),
        ("--torque", "50 mm"),
        ("--short", "x"),
        ("--short", "1=7"),
    ],
)
def test_what_cannot_be_is_refused(
    tagbench: Tagbench, codes: list[str], words: tuple[str, ...]
) -> None:
    """A sentence and exit code 2."""
    said = tagbench("fit", codes[3 if "x" in words else 0], *words)
    assert said.code == 2 and said.err.count("\n") == 1


def test_the_whole_way_to_a_clean_count(tagbench: Tagbench, codes: list[str]) -> None:
    """Fit all, lose one, find it by size, renew, measure, take off, fit again, close."""
    nut, wheel, plate, shoes = codes
    number = tagbench(
        "settings", "add", "chain slack", "3/8-3/4 in", "--after", wheel, "--json"
    ).json["id"]
    assert tagbench("fit", shoes).code == 0
    assert tagbench("fit", plate, "--short", "1").code == 0
    assert tagbench("fit", wheel, "--snug").code == 0
    counted = tagbench("count", "--json").json
    assert counted["parts_off"] == 1 and [p["code"] for p in counted["snug"]] == [wheel]
    assert counted["fasteners_out"] == counted["fasteners_back"] + sum(
        line["missing"] for line in counted["missing"]
    )
    [hit] = tagbench("count", "--missing", "M5x0.8x12", "--json").json
    assert (hit["code"], hit["fits"]) == (plate, True)
    assert tagbench("fit", plate, "--short", "0").code == 0
    assert tagbench("fit", wheel).code == 0
    assert tagbench("fit", nut, "--torque", "50 N·m").code == 0
    assert tagbench("settings", "measure", str(number), "1/2 in").code == 0
    assert tagbench("reach", shoes, "--json").json["take_off"] == [nut, wheel, plate]
    said = tagbench("count", "--close")
    assert said.code == 2 and f"renew:{nut}/1" in said.err
    assert tagbench("fit", nut, "--renewed").code == 0
    counted = tagbench("count", "--close", "--json").json
    assert counted["closed"] and counted["closed_at"]
    assert (counted["missing"], counted["open"]) == ([], [])
    assert tagbench("reach", shoes, "--take-off").code == 0
    assert tagbench("count", "--json").json["closed"] is False
    assert [s["state"] for s in tagbench("settings", "--json").json] == ["recheck"]


def test_closing_with_reasons(tagbench: Tagbench, codes: list[str]) -> None:
    """A reason for each open line closes the machine; a slip in a name is told."""
    keys = [line["key"] for line in tagbench("count", "--json").json["open"]]
    assert keys == [f"off:{code}" for code in codes]
    reasons = [f"--reason={key}=sold as a kit" for key in keys]
    assert tagbench("count", "--close", *reasons, "--reason=off:ZZ=x").code == 2
    assert tagbench("count", *reasons).code == 2
    assert tagbench("count", "--close", *reasons, "--json").json["closed"] is True
    assert "sold as a kit" in tagbench("count").out
    assert tagbench("count", "--reopen", "--json").json["closed"] is False


def test_reach_with_nothing_in_the_way(tagbench: Tagbench, codes: list[str]) -> None:
    """Says so, and where the part is that is not there to be got at."""
    tagbench("lost", codes[0], "--last-seen", "the bench")
    said = tagbench("reach", codes[0]).out
    assert "is not on the machine: lost since" in said
    assert said.endswith("last seen the bench.\nNothing is in the way of its place.\n")
    tagbench("lost", codes[0], "--found")
    assert tagbench("fit", codes[0], "--anyway", "--why", "trial").code == 0
    assert tagbench("reach", codes[0]).out.startswith("Nothing is in the way of axle nut")


def test_taking_off_one_with_others_in_front_is_refused(
    tagbench: Tagbench, codes: list[str]
) -> None:
    """Named in order."""
    for code in codes[:0:-1]:
        tagbench("fit", code)
    said = tagbench("fit", codes[3], "--off")
    assert said.code == 2 and said.err.index(codes[1]) < said.err.index(codes[2])
    assert tagbench("fit", codes[1], "--off", "--json").json["fitted"] == "off"


def test_an_empty_book_says_what_to_do(tagbench: Tagbench) -> None:
    """For each command of the rebuild."""
    for words in (["build"], ["count"], ["settings"]):
        said = tagbench(*words)
        assert said.code == 2 and "strip" in said.err


def test_codes_are_typed_as_on_the_tag_and_slips_are_told(
    tagbench: Tagbench, codes: list[str]
) -> None:
    """Lower case without hyphens is read; a bin is not a part."""
    assert tagbench("fit", codes[3].lower().replace("-", "")).code == 0
    box = tagbench("bins", "add", "Box 1", "--json").json["code"]
    said = tagbench("fit", box)
    assert said.code == 2 and "code of a bin" in said.err


def test_as_a_program_of_its_own(tagbench: Tagbench, codes: list[str], folder: Path) -> None:
    """The refusal is one line on stderr, nothing on stdout, exit code 2, no traceback."""
    words = [sys.executable, "-m", "tagbench", "--book", str(folder), "fit", codes[0]]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1 and "would shut in" in done.stderr


def test_a_torque_in_stages_is_open_until_the_last_is_inside(
    tagbench: Tagbench, codes: list[str]
) -> None:
    """A value under the range is a stage and no override; over it is refused as before."""
    for code in codes[:0:-1]:
        assert tagbench("fit", code).code == 0
    first = tagbench("fit", codes[0], "--torque", "20 N·m", "--json").json
    assert first["fitted"] == "snug"
    assert [one["given"] for one in first["fasteners"][0]["passes"]] == [20]
    assert first["fasteners"][0]["passes"][0]["at"]
    assert first["overrides"] == []
    assert "20 of 45–55 N·m, not final, stage 1 of 3" in tagbench("show", codes[0]).out
    assert "not final" in tagbench("count").out
    assert tagbench("fit", codes[0], "--torque", "70 N·m").code == 2
    last = tagbench("fit", codes[0], "--torque", "50 N·m", "--json").json
    assert last["fitted"] == "fitted"
    assert [one["given"] for one in last["fasteners"][0]["passes"]] == [20, 50]
    assert "not final" not in tagbench("count").out
