"""The demo book evening by evening: the strip, a winter's cleaning, the first parts back on."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial
from itertools import groupby
from pathlib import Path

from demo.calendar import moment
from demo.diary import Diary
from demo.drawings import save_picture
from demo.parts import part_record
from demo.story import Entry, PartNote, story
from tagbench.book import Book
from tagbench.book.operations.composing import take_apart
from tagbench.book.operations.machines import set_aside
from tagbench.book.photos import take_in
from tagbench.records import BIN_MARK, Bin, Part, Tag, replace
from tagbench.rules.twins import linked

CAPTIONS = {
    "front_brake": "Front brake from outside, with the four screws",
    "chain_drive": "Chain drive from the left",
    "crankcase_cover": "Which screw goes where",
}

ShareDone = Callable[[float], None]
"""Called with the share that is done, 0 to 1."""

Evening = list[tuple[str, PartNote]]
"""What came off on one evening, in order: assembly and part."""


class Evenings:
    """The book under way, with a clock that is set to each evening in turn."""

    def __init__(self, folder: Path, today: datetime, progress: ShareDone | None = None) -> None:
        self._story = story()
        self._today = today
        self._clock = today
        self._progress = progress or (lambda _: None)
        self._codes: dict[str, str] = {}
        self._order = 0
        self._book = Book(folder, now=lambda: self._clock)

    def write(self) -> None:
        """Writes everything, oldest first, one change an evening."""
        evenings = self._strip_evenings()
        with self._book, tempfile.TemporaryDirectory(prefix="tagbench-") as pictures:
            steps: list[Callable[[], object]] = [
                partial(self._begin, evenings[0]),
                self._write_aside,
                *(partial(self._strip, evening, Path(pictures)) for evening in evenings),
                self._take_apart,
                self._print_tags,
            ]
            for number, step in enumerate(steps, 1):
                step()
                self._progress(number / len(steps) / 2)
            self._write_diary()

    def _strip_evenings(self) -> list[Evening]:
        every = groupby(self._story.parts(), key=lambda pair: pair[1].off.split()[0])
        return [list(evening) for _, evening in every]

    def _begin(self, first: Evening) -> None:
        """The machine, the bins and the supplies, shortly before the first part comes off."""
        told = self._story
        self._clock = moment(first[0][1].off, self._today) - timedelta(minutes=40)
        with self._book.change(
            f"added the machine {told.machine.name}, its bins and supplies"
        ) as d:
            d.put(told.machine)
            d.put(
                replace(
                    d.records.desk,
                    machine=told.machine.mark,
                    stock=told.desk.stock,
                    suppliers=told.desk.suppliers,
                    used_with=told.desk.used_with,
                )
            )
            for note in told.bin:
                code = self._codes[note.key] = d.new_code(BIN_MARK)
                holder = self._codes[note.kept_in] if note.kept_in else ""
                d.put(
                    Bin(code=code, name=note.name, kind=note.kind, kept_in=holder, note=note.note)
                )
            for item in told.supplies():
                d.put(replace(item, id=d.new_id("stock")))

    def _write_aside(self) -> None:
        """The other machine is written down from its two bags, and set aside."""
        told = self._story.aside
        self._clock = moment(told.when, self._today)
        with self._book.change(
            f"wrote down what is off the {told.machine.name.lower()}"
        ) as transaction:
            transaction.put(told.machine)
            for order, note in enumerate(told.part, 1):
                code = self._codes[note.key] = transaction.new_code(told.machine.mark)
                transaction.put(part_record(note, "", code, order, self._codes, self._today))
        set_aside(self._book, told.machine.mark, told.why)

    def _strip(self, evening: Evening, pictures: Path) -> None:
        """The parts of one evening, written down when the last one was in its bag."""
        names = [note.name for _, note in evening]
        words = f"took off {len(names)} parts, from {names[0]} to {names[-1]}"
        self._clock = moment(evening[-1][1].off, self._today) + timedelta(minutes=5)
        with self._book.change(words) as transaction:
            for assembly, note in evening:
                code = self._codes[note.key] = transaction.new_code(self._story.machine.mark)
                self._order += 1
                part = part_record(note, assembly, code, self._order, self._codes, self._today)
                part = self._with_photos(part, note, pictures)
                if note.twin:
                    part, twin = linked(part, transaction.records.parts[self._codes[note.twin]])
                    transaction.put(twin)
                transaction.put(part)

    def _with_photos(self, part: Part, note: PartNote, pictures: Path) -> Part:
        photos = []
        for name in note.photos:
            picture = pictures / f"{name}.jpg"
            source = picture if picture.exists() else save_picture(name, pictures)
            photo = take_in(self._book, source, part.code, caption=CAPTIONS[name], moment="before")
            photos.append(replace(photo, taken=part.removed, original="drawn for the demo"))
        return replace(part, photos=tuple(photos))

    def _take_apart(self) -> None:
        """What was kept together at first and is taken apart after all: its own parts get tags."""
        for _, note in self._story.parts():
            if note.apart:
                self._clock = moment(note.apart, self._today)
                _, parts = take_apart(self._book, self._codes[note.key])
                self._codes |= {f"{note.key}: {part.name}": part.code for part in parts}

    def _print_tags(self) -> None:
        """All tags printed in one go, and some spare ones ahead for what is still to come off."""
        told = self._story.tags
        self._clock = moment(told.printed, self._today)
        with self._book.change(f"printed {len(self._codes)} tags") as transaction:
            for code in self._codes.values():
                transaction.put(self._printed(transaction.records.tags[code]))
        self._clock = moment(told.spare_printed, self._today)
        with self._book.change(f"set aside and printed {told.spare} spare tags") as transaction:
            for _ in range(told.spare):
                code = transaction.new_code(self._story.machine.mark)
                transaction.put(
                    replace(self._printed(transaction.records.tags[code]), kind="spare")
                )

    def _printed(self, tag: Tag) -> Tag:
        return replace(tag, queued=None, printed=self._clock, times=1)

    def _write_diary(self) -> None:
        diary = Diary(self._story, self._codes, self._today)
        entries = self._story.entry
        self._clock += timedelta(minutes=20)
        with self._book.change("wrote down the settings from the maker's manual") as transaction:
            diary.add_settings(transaction)
        for number, entry in enumerate(entries, 1):
            self._write_entry(diary, entry)
            self._progress(0.5 + number / len(entries) / 2)

    def _write_entry(self, diary: Diary, entry: Entry) -> None:
        self._clock = moment(entry.when, self._today)
        with self._book.change(entry.words) as transaction:
            diary.carry_out(transaction, entry)
