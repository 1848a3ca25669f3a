"""The demo book as it is written to disk."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from shutil import copytree

import pytest
from PIL import Image

from demo.writer import STAGING, is_demo, write_demo
from labels.code import next_code, parse_code
from tagbench.book import Book
from tagbench.book.check import check_book
from tagbench.errors import BadInput, BookError
from tagbench.rules.bins import kept_in
from tagbench.rules.count.identity import machine_count
from tagbench.rules.find.index import Index
from tagbench.rules.rebuild.overview import build_overview
from tagbench.rules.whereabouts import overdue
from tests.demo.moment import NOW


def test_it_is_a_sound_book(demo_book: Book) -> None:
    report = check_book(demo_book.folder)
    assert report.ok, report.problems
    assert is_demo(demo_book.folder)


def test_its_parts_carry_codes_in_the_order_of_the_strip(demo_book: Book) -> None:
    parts = demo_book.records.parts_of("TP")
    serials = [parse_code(part.code).serial for part in parts]
    assert serials == [n for n in range(1, serials[-1] + 1) if next_code("TP", n - 1).serial == n]
    assert [part.order for part in parts] == list(range(1, len(parts) + 1))
    removed = [part.removed for part in parts if part.removed]
    assert removed == sorted(removed)
    assert len(removed) == len(parts) >= 55


def test_the_strip_took_several_evenings_of_one_autumn(demo_book: Book) -> None:
    days = {part.removed.date() for part in demo_book.records.parts_of("TP") if part.removed}
    assert len(days) >= 5
    assert {(day.year, day.month) for day in days} <= {(2030, 9), (2030, 10)}


def test_the_links_hold_no_loop(demo_book: Book) -> None:
    plan = build_overview(demo_book.records, "TP")
    place = {code: number for number, code in enumerate(plan.order)}
    assert len(place) == len(demo_book.records.parts_of("TP"))
    for part in demo_book.records.parts_of("TP"):
        assert all(place[part.code] < place[outer] for outer in part.behind)


@pytest.mark.parametrize(
    "question",
    [
        "four backing-plate screws",
        "4 screws bakcing plate",
        "backing plate screws front brake",
        "M5x0.8x12",
        "plate screws bag",
    ],
)
def test_the_four_backing_plate_screws_are_found_first(demo_book: Book, question: str) -> None:
    first = Index(demo_book.records).find(question)[0]
    assert first.part.name == "Backing plate screws"
    assert first.part.assembly == "Front wheel / Brake"
    assert [(line.quantity, line.thread, line.length) for line in first.part.fasteners] == [
        (4, "M5x0.8", 12.0)
    ]
    assert first.kept_in == ("bag Plate screws", "box Biscuit tin", "Upper shelf")


def test_every_screen_has_something_to_show(demo_book: Book) -> None:
    """Ready, held up, on the machine, snug, dirty, soaking, wanted, overdue, short, to make."""
    tables = demo_book.records
    parts, wants = tables.parts.values(), tables.wants.values()
    plan = build_overview(tables, "TP")
    assert len(plan.ready) >= 3
    assert len(plan.held_up) >= 10
    assert [part.name for part in parts if part.fitted == "snug"] == ["Steering head lock nut"]
    assert sum(part.fitted == "fitted" for part in parts) >= 3
    assert any(part.soak for part in parts)
    assert any(not part.care for part in parts)
    assert {part.verdict for part in parts} == {"undecided", "reuse", "replace"}
    assert {part.replacement for part in parts} == {"", "wanted", "here"}
    assert any(part.make for part in parts)
    assert any(line.short for part in parts for line in part.fasteners)
    assert any(want.due and not want.arrived and want.due < NOW.date() for want in wants)
    assert any(want.arrived for want in wants)
    assert any(want.ordered is None for want in wants)
    assert any(setting.recheck for setting in tables.settings.values())
    assert sum(tag.kind == "spare" for tag in tables.tags.values()) == 6
    assert sum(tag.queued is not None for tag in tables.tags.values()) == 5


def test_a_part_can_be_seen_in_every_place(demo_book: Book) -> None:
    """On, never off, here, to come, with someone else, lost; old pieces in each of their ways."""
    tables = demo_book.records
    found = machine_count(tables, tables.desk.machine)
    assert all(found.places.values()), found.places
    olds = {part.old_piece for part in tables.parts.values()}
    assert olds >= {"gone", "pattern", "exchanged", "kept"}
    assert any(part.dry_fits for part in tables.parts.values())
    assert {one.at is None for part in tables.parts.values() for one in part.finishes} == {
        True,
        False,
    }
    [batch] = tables.batches.values()
    assert sum(thread.away for thread in found.threads) == sum(p.quantity for p in batch.pieces)
    assert [item.what for item in found.loose] == ["M6 bolt 20 long"]
    assert any(overdue(part.away, NOW.date()) for part in tables.parts.values() if part.away)


def test_what_was_kept_together_and_taken_apart_is_told_in_the_history(demo_book: Book) -> None:
    named = {part.name: part for part in demo_book.records.parts.values()}
    whole, gauze, felt = (named[n] for n in ("Air cleaner", "wire gauze", "felt sleeve"))
    assert not whole.together
    assert not whole.own_parts
    assert named["Headlamp"].together
    assert gauze.behind == felt.behind == (whole.code,)
    assert {gauze.bin, felt.bin} == {whole.bin}
    assert [line.quantity for line in felt.fasteners] == [1]
    told = [change.words for change in demo_book.history(limit=200)]
    assert f"took Air cleaner {whole.code} apart: 2 parts" in told


def test_another_machine_is_set_aside_and_stays_out_of_this_one(demo_book: Book) -> None:
    tables = demo_book.records
    pump = tables.machines["HP"]
    assert pump.aside is not None
    assert pump.aside_why
    assert tables.desk.machine == "TP"
    assert len(tables.parts_of("HP")) == 2
    assert machine_count(tables, "TP").parts == len(tables.parts) - 2


def test_the_backing_plate_can_go_on_next_and_its_screws_then(demo_book: Book) -> None:
    plan = build_overview(demo_book.records, "TP")
    named = {part.name: part.code for part in demo_book.records.parts.values()}
    assert named["Backing plate"] in plan.ready
    waiting = {one.code: one.reasons for one in plan.held_up}
    assert [reason.kind for reason in waiting[named["Backing plate screws"]]] == ["deeper"]


def test_bins_nest_bag_in_box_on_shelf(demo_book: Book) -> None:
    bins = demo_book.records.bins
    assert {len(kept_in(code, bins)) for code in bins} == {1, 2, 3}
    off = [part for part in demo_book.records.parts.values() if not part.stays_on]
    assert all(part.bin in bins for part in off)


def test_pictures_are_taken_in_and_can_be_opened(demo_book: Book) -> None:
    photos = [photo for part in demo_book.records.parts.values() for photo in part.photos]
    assert len(photos) >= 3
    for photo in photos:
        with Image.open(demo_book.photos / photo.file) as picture:
            assert picture.size == (1200, 900)


def test_figures_say_that_they_are_invented(demo_book: Book) -> None:
    parts = demo_book.records.parts.values()
    sources = [line.torque.source for part in parts for line in part.fasteners if line.torque]
    sources += [reading.source for part in parts for reading in part.readings]
    sources += [setting.source for setting in demo_book.records.settings.values()]
    assert len(sources) > 20
    assert all(source.endswith("(invented)") and len(source) > 15 for source in sources)


def test_the_history_tells_evenings_and_the_last_one_can_be_taken_back(
    demo_book: Book, tmp_path: Path
) -> None:
    copytree(demo_book.folder, tmp_path / "book")
    with Book(tmp_path / "book", now=lambda: NOW) as book:
        told = book.history(limit=200)
        assert 20 <= len(told) <= 60
        times = [change.at for change in told]
        assert times == sorted(times, reverse=True)
        assert times[0] < NOW
        taken = book.undo()
        assert taken.words == told[0].words
        assert not any(tag.queued for tag in book.records.tags.values())


def test_without_a_clock_the_demo_ends_before_now(tmp_path: Path) -> None:
    with write_demo(tmp_path / "book") as book:
        assert book.history()[0].at < datetime.now().astimezone()


def test_an_empty_folder_will_do_and_leftovers_of_a_broken_run_are_cleared(tmp_path: Path) -> None:
    """And progress grows to the whole meanwhile."""
    folder, shares = tmp_path / "book", list[float]()
    (folder / STAGING / "photos").mkdir(parents=True)
    (folder / STAGING / "history.jsonl").write_text("half")
    assert not is_demo(folder)
    write_demo(folder, now=lambda: NOW, progress=shares.append).close()
    assert is_demo(folder)
    assert not (folder / STAGING).exists()
    assert shares == sorted(shares)
    assert 0 < shares[0] < 0.1
    assert shares[-1] == 1


def test_a_folder_with_other_files_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine")
    with pytest.raises(BadInput, match="not empty; name a new folder"):
        write_demo(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_folder_with_a_book_is_refused_and_left_alone(tmp_path: Path) -> None:
    with Book(tmp_path / "book") as book, book.change("mine"):
        pass
    with Book(tmp_path / "book") as book, book.change("mine") as transaction:
        transaction.new_code("A")
    before = (tmp_path / "book" / "book.json").read_bytes()
    with pytest.raises(BadInput, match="already holds a book"):
        write_demo(tmp_path / "book")
    assert (tmp_path / "book" / "book.json").read_bytes() == before
    assert not is_demo(tmp_path / "book")


def test_a_file_in_the_way_is_named(tmp_path: Path) -> None:
    (tmp_path / "book").write_text("")
    with pytest.raises(BadInput, match="is a file; name a folder"):
        write_demo(tmp_path / "book")
    with pytest.raises(BookError, match="cannot be written into"):
        write_demo(tmp_path / "book" / "inside")
