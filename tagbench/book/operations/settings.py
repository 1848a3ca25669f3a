"""Settings: writing one down, measuring it, having it measured again; each one change."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tagbench.book.book import Book
from tagbench.book.operations.machines import chosen_or_made
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput, NotFound
from tagbench.records import Setting, Tables, replace
from tagbench.rules.paths import known_spelling
from tagbench.rules.settings.ranges import SettingRange, read_range, read_value
from tagbench.rules.settings.standing import measured_words, setting_state


@dataclass(frozen=True)
class SettingForm:
    """What the person says about an adjustment."""

    what: str
    """What is adjusted."""
    range: str = ""
    """Its range as typed; empty when there is none."""
    assembly: str = ""
    """Where, as a path."""
    after: tuple[str, ...] = ()
    """Codes of the parts whose fitting re-opens it."""
    source: str = ""
    """Where the range comes from."""
    note: str = ""
    """Anything else."""
    mark: str = ""
    """Mark of the machine; empty for the chosen one."""


def add_setting(book: Book, form: SettingForm) -> Setting:
    """Writes a setting down, not measured yet. Raises BadInput for an empty name or bad range."""
    with book.change() as transaction:
        machine = chosen_or_made(transaction, form.mark)
        number = transaction.new_id("settings")
        bare = Setting(id=number, machine=machine.mark, what=_named(form.what))
        setting = _filled(transaction, bare, form)
        transaction.put(setting)
        transaction.words = f"added the setting {setting.what}"
        return setting


def edit_setting(book: Book, number: int, form: SettingForm) -> Setting:
    """Writes a setting down anew; what was measured stays when the unit does."""
    with book.change() as transaction:
        before = setting_by_number(transaction.records, number)
        after = _filled(transaction, replace(before, what=_named(form.what)), form)
        if after.unit != before.unit:
            after = replace(after, measured=None, measured_at=None, recheck="")
        transaction.put(after)
        transaction.words = f"changed the setting {after.what}"
        return after


def measure(book: Book, number: int, value: str) -> Setting:
    """Writes a measured value down, converted to the setting's unit; it is no longer open again.

    A value outside the range is written down all the same: the count keeps it open.
    """
    with book.change() as transaction:
        before = setting_by_number(transaction.records, number)
        measured = read_value(value, before)
        after = replace(before, measured=measured, measured_at=transaction.now, recheck="")
        transaction.put(after)
        transaction.worked_on(after.machine)
        said, stands = measured_words(after), setting_state(after, transaction.records.parts).words
        told = stands if stands.startswith(said) else f"{said}; {stands}"
        transaction.words = f"measured {after.what}: {told}"
        return after


def recheck(book: Book, number: int, why: str) -> Setting:
    """Has a setting measured again, with the reason. Raises BadInput without one."""
    if not why.strip():
        raise BadInput("Say in a word or two why it must be measured again.")
    with book.change() as transaction:
        after = replace(setting_by_number(transaction.records, number), recheck=why.strip())
        transaction.put(after)
        transaction.worked_on(after.machine)
        transaction.words = f"{after.what} is to be measured again: {after.recheck}"
        return after


def remove_setting(book: Book, number: int) -> Setting:
    """Takes a setting away; undo brings it back."""
    with book.change() as transaction:
        setting = setting_by_number(transaction.records, number)
        transaction.drop(setting)
        transaction.words = f"took away the setting {setting.what}"
        return setting


def setting_by_number(tables: Tables, number: int) -> Setting:
    """The setting with that number; raises NotFound and names the numbers there are."""
    setting = tables.settings.get(str(number))
    if setting is None:
        there = ", ".join(sorted(tables.settings, key=int)) or "none yet"
        raise NotFound(f"There is no setting number {number}; there is: {there}.")
    return setting


def _filled(transaction: Transaction, setting: Setting, form: SettingForm) -> Setting:
    usual = transaction.records.machines[setting.machine].units.length
    wanted = SettingRange(None, None, usual)
    if form.range.strip():
        wanted = read_range(form.range, usual)
    paths = [part.assembly for part in transaction.records.parts_of(setting.machine)]
    return replace(
        setting,
        low=wanted.low,
        high=wanted.high,
        unit=wanted.unit,
        typed=" ".join(form.range.split()),
        assembly=known_spelling(form.assembly, paths),
        after=_known(transaction.records, setting.machine, form.after),
        source=form.source.strip(),
        note=form.note.strip(),
    )


def _known(tables: Tables, mark: str, codes: Iterable[str]) -> tuple[str, ...]:
    for code in codes:
        part = tables.parts.get(code)
        if part is None:
            raise NotFound(f"No part goes by {code}, so its fitting cannot re-open a setting.")
        if part.machine != mark:
            raise BadInput(f"{code} belongs to another machine than the setting.")
    return tuple(dict.fromkeys(codes))


def _named(what: str) -> str:
    name = " ".join(what.split())
    if not name:
        raise BadInput("The setting needs a name, such as chain slack.")
    return name
