"""What was done after the strip: one change of the book an entry, by the rules of the book."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from demo.calendar import day_of
from demo.parts import INVENTED
from demo.story import Entry, PartNote, Story, WantNote
from tagbench.book import Transaction
from tagbench.records import Batch, Errand, Finish, LooseItem, Part, Setting, Step, Want, replace
from tagbench.rules.batches import gone_from_bag, pieces_in_bags
from tagbench.rules.buying.returns import wrong_came
from tagbench.rules.buying.wants import split_want
from tagbench.rules.care.finish import dry_fitted, finish_done, plan_finish
from tagbench.rules.care.steps import decide, soak, tick
from tagbench.rules.count.loose_items import read_found
from tagbench.rules.rebuild.fit import put_on, single_use_lines
from tagbench.rules.whereabouts import (
    OldPiece,
    came_back,
    lose,
    never_off,
    put_old_piece,
    send,
)

Codes = Mapping[str, str]
"""Key of a part or bin in the story → its code."""


class Diary:
    """Carries out the entries on drafts of the book."""

    def __init__(self, story: Story, codes: Codes, now: datetime) -> None:
        self._parts: dict[str, PartNote] = {note.key: note for _, note in story.parts()}
        self._wants: dict[str, WantNote] = {note.key: note for note in story.want}
        self._settings = {note.key: note for note in story.setting}
        self._codes = codes
        self._now = now
        self._mark = story.machine.mark
        self._ids: dict[str, int] = {}

    def add_settings(self, transaction: Transaction) -> None:
        """Writes down the adjustments with their ranges, none of them measured yet."""
        for note in self._settings.values():
            number = self._ids[note.key] = transaction.new_id("settings")
            setting = Setting(
                id=number,
                machine=self._mark,
                what=note.what,
                assembly=note.assembly,
                low=note.low,
                high=note.high,
                unit=note.unit,
                source=note.source + INVENTED,
                typed=note.typed,
                after=tuple(self._codes[key] for key in note.after),
                note=note.note,
            )
            transaction.put(setting)

    def carry_out(self, transaction: Transaction, entry: Entry) -> None:
        """Does what one entry tells; the transaction's clock stands at its time."""
        self._care(transaction, entry)
        self._finish(transaction, entry)
        self._elsewhere(transaction, entry)
        self._buying(transaction, entry)
        self._building(transaction, entry)
        self._queue(transaction, entry)

    def _care(self, transaction: Transaction, entry: Entry) -> None:
        at = transaction.now
        for step, keys in _steps(entry):
            with_what = "" if step == "inspected" else entry.with_what
            for part in self._told(transaction, keys):
                transaction.put(tick(part, step, at, at, with_what))
        for key, part in zip(entry.measured, self._told(transaction, entry.measured), strict=True):
            transaction.put(self._measured(part, key, at))
        for part in self._told(transaction, entry.reuse):
            transaction.put(decide(part, "reuse"))
        for part in self._told(transaction, entry.replace):
            transaction.put(decide(part, "replace"))
        for part in self._told(transaction, entry.soak):
            tray = transaction.records.bins[part.bin].name
            transaction.put(soak(part, at, at, entry.hours, tray, entry.with_what))

    def _measured(self, part: Part, key: str, at: datetime) -> Part:
        told = self._parts[key].readings
        readings = [
            replace(reading, values=note.values, at=at)
            for reading, note in zip(part.readings, told, strict=True)
        ]
        return replace(part, readings=tuple(readings))

    def _finish(self, transaction: Transaction, entry: Entry) -> None:
        coat = Finish(what=entry.finish or "?", with_what=entry.with_what, masked=entry.bare)
        for part in self._told(transaction, entry.to_finish):
            transaction.put(plan_finish(part, coat))
        for part in self._told(transaction, entry.finished):
            transaction.put(finish_done(part, coat, transaction.now, transaction.now))
        for part in self._told(transaction, entry.dry_fitted):
            transaction.put(dry_fitted(part, transaction.now))

    def _elsewhere(self, transaction: Transaction, entry: Entry) -> None:
        """Never taken off, with someone else, in a batch, back again, lost, found on the bench."""
        for part in self._told(transaction, entry.stays):
            transaction.put(never_off(part, transaction.now))
        errand = self._errand(transaction, entry)
        if errand is not None:
            for part in self._told(transaction, entry.sent):
                transaction.put(send(part, errand))
            if entry.packed:
                self._pack(transaction, entry.packed, errand)
        for part in self._told(transaction, entry.back):
            transaction.put(came_back(part, transaction.now.date()))
        for key, last_seen in entry.lost.items():
            transaction.put(
                lose(transaction.records.parts[self._codes[key]], transaction.now, last_seen)
            )
        if entry.found:
            what, where, fastener = read_found(entry.found)
            item = LooseItem(
                id=transaction.new_id("loose"),
                machine=self._mark,
                what=what,
                where=where,
                fastener=fastener,
                found=transaction.now,
            )
            transaction.put(replace(item, explained=entry.explained))

    def _errand(self, transaction: Transaction, entry: Entry) -> Errand | None:
        if not entry.who:
            return None
        return Errand(
            who=entry.who,
            what_for=entry.what_for,
            sent=transaction.now.date(),
            due=day_of(entry.due, self._now) if entry.due else None,
            price=entry.price,
            currency=transaction.records.machines[self._mark].units.currency if entry.price else "",
        )

    def _pack(self, transaction: Transaction, keys: tuple[str, ...], errand: Errand) -> None:
        pieces = pieces_in_bags(self._told(transaction, keys))
        for piece in pieces:
            part = transaction.records.parts[piece.code]
            transaction.put(gone_from_bag(part, piece.line, piece.quantity))
        batch = Batch(
            id=transaction.new_id("batches"),
            machine=self._mark,
            who=errand.who,
            what_for=errand.what_for,
            sent=errand.sent,
            due=errand.due,
            pieces=tuple(pieces),
        )
        transaction.put(batch)

    def _buying(self, transaction: Transaction, entry: Entry) -> None:
        for key in entry.want:
            self._want(transaction, key)
        for key in entry.ordered:
            due = day_of(entry.due, self._now)
            want = self._want(transaction, key)
            transaction.put(
                replace(want, ordered=transaction.now.date(), ordered_as=want.number, due=due)
            )
        for key in entry.arrived:
            want = replace(self._want(transaction, key), arrived=transaction.now.date())
            transaction.put(want)
            for code in want.parts:
                transaction.put(replace(transaction.records.parts[code], replacement="here"))
        for key, many in entry.some_came.items():
            here, rest = split_want(self._want(transaction, key), many, transaction.new_id("wants"))
            transaction.put(replace(here, arrived=transaction.now.date()))
            if rest is not None:
                transaction.put(rest)
        for key, what in entry.wrong.items():
            today = transaction.now.date()
            transaction.put(wrong_came(self._want(transaction, key), today, today, what))
        for where, keys in _old_pieces(entry):
            for part in self._told(transaction, keys):
                transaction.put(put_old_piece(part, where))

    def _want(self, transaction: Transaction, key: str) -> Want:
        """The want, written down when it is first spoken of."""
        if key in self._ids:
            return transaction.records.wants[str(self._ids[key])]
        note = self._wants[key]
        self._ids[key] = transaction.new_id("wants")
        want = Want(
            id=self._ids[key],
            machine=self._mark,
            what=note.what,
            parts=tuple(self._codes[part] for part in note.parts),
            number=note.number,
            quantity=note.quantity,
            supplier=note.supplier,
            price=note.price,
            deposit=note.deposit,
            currency=transaction.records.machines[self._mark].units.currency if note.price else "",
            note=note.note,
        )
        transaction.put(want)
        return want

    def _building(self, transaction: Transaction, entry: Entry) -> None:
        on = (*entry.fitted, *entry.snug)
        for key, part in zip(on, self._told(transaction, on), strict=True):
            torqued = {1: entry.torqued[key]} if key in entry.torqued else None
            new = single_use_lines(part)
            transaction.put(
                put_on(part, transaction.now, snug=key in entry.snug, torqued=torqued, renewed=new)
            )
        for key, value in entry.set.items():
            setting = transaction.records.settings[str(self._ids[key])]
            why = entry.recheck.get(key, "")
            transaction.put(
                replace(setting, measured=value, measured_at=transaction.now, recheck=why)
            )

    def _queue(self, transaction: Transaction, entry: Entry) -> None:
        for key in (*entry.queue, *entry.queue_bins):
            transaction.put(
                replace(transaction.records.tags[self._codes[key]], queued=transaction.now)
            )

    def _told(self, transaction: Transaction, keys: tuple[str, ...]) -> Iterator[Part]:
        """The parts with these keys, each as it is when its turn comes."""
        return (transaction.records.parts[self._codes[key]] for key in keys)


def _steps(entry: Entry) -> tuple[tuple[Step, tuple[str, ...]], ...]:
    return (
        ("degreased", entry.degreased),
        ("inspected", entry.inspected),
        ("lubed", entry.lubed),
    )


def _old_pieces(entry: Entry) -> tuple[tuple[OldPiece, tuple[str, ...]], ...]:
    return (("gone", entry.gone), ("pattern", entry.pattern), ("exchanged", entry.exchanged))
