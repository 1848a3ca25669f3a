"""Putting parts back on: fit, snug, torque, short, and taking off again; each one change."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from tagbench.book.book import Book
from tagbench.book.operations.strip import part_by_code
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput, Refused
from tagbench.records import Override, Part, Tables, replace
from tagbench.rules.buying.single_use import in_stock
from tagbench.rules.care.steps import out_of_the_tray
from tagbench.rules.count.fastener_lines import lines_of, renewed_items
from tagbench.rules.describe.phrases import named, named_codes
from tagbench.rules.rebuild.burying import burying
from tagbench.rules.rebuild.fit import (
    all_torqued,
    outside_words,
    put_on,
    short_by,
    take_off,
    work_words,
)
from tagbench.rules.rebuild.held_up import on_machine, open_wants, own_reasons
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.rebuild.reach import reach_part
from tagbench.rules.settings.standing import reopened_by


@dataclass(frozen=True)
class FitForm:
    """What the person says about a part that goes on; fastener lines are counted from 1."""

    snug: bool = False
    """Leave it finger tight."""
    torqued: Mapping[int, float] = field(default_factory=dict)
    """Line → torque given, in the unit of the line's range (N·m without one)."""
    short: Mapping[int, int] = field(default_factory=dict)
    """Line → how many are missing; the part goes on without them."""
    renewed: Collection[int] = ()
    """Lines of single-use items that are new."""
    anyway: bool = False
    """Overrule what stands in the way; that is written down and stays open in the count."""
    why: str = ""
    """The person's reason for overruling."""


def fit_part(book: Book, code: str, form: FitForm | None = None) -> Part:
    """Puts a part on the machine, or brings a snug one further.

    Raises Refused, with every reason, when the part is held up, would shut something in, or was
    given a torque outside its range, unless the form says `anyway`. Settings that depend on the
    part are to be measured again.
    """
    form = form or FitForm()
    with book.change() as transaction:
        part = part_by_code(transaction.records, code)
        after = _fitted(part, form, transaction.now)
        refusals = _refusals(transaction.records, part, after, form, transaction.now.date())
        if refusals and not form.anyway:
            raise Refused(_refusal_words(part, refusals))
        overrides = [replace(one, why=form.why.strip(), at=transaction.now) for one, _ in refusals]
        after = replace(out_of_the_tray(after), overrides=(*part.overrides, *overrides))
        transaction.put(after)
        _use_up_stock(transaction, part, after)
        _worked_on(transaction, after, work_words(part, after, form.torqued))
        transaction.words = _fit_words(after, refusals, form.why)
        return after


def missing_fasteners(book: Book, code: str, short: Mapping[int, int]) -> Part:
    """Writes down how many fasteners of a line are missing; 0 when they turned up."""
    with book.change() as transaction:
        after = short_by(part_by_code(transaction.records, code), short)
        transaction.put(after)
        total = sum(fastener.short for fastener in after.fasteners)
        transaction.words = f"{named(after)} is short of {total} fasteners"
        return after


def take_off_again(
    book: Book, code: str, *, with_outer: bool = False, itself: bool = True
) -> list[Part]:
    """Takes a part off the machine again; with `with_outer` all that is in its way as well.

    Without `itself` the part stays on and only the way to it is cleared; so it is for a part that
    is off but has others in front of it. Gives the parts in the order in which they came off.
    Raises BadInput when nothing comes off, Refused with the names when others are in the way.
    """
    with book.change() as transaction:
        part = part_by_code(transaction.records, code)
        in_the_way = reach_part(transaction.records, code).take_off
        coming_off = [*in_the_way, code] if itself and on_machine(part) else in_the_way
        if not coming_off or not (on_machine(part) or with_outer):
            raise BadInput(_nothing_comes_off(part))
        if in_the_way and not with_outer:
            first = ", ".join(named_codes(in_the_way, transaction.records))
            raise Refused(f"To get at {named(part)}, these must come off first: {first}.")
        taken = [take_off(transaction.records.parts[one]) for one in coming_off]
        for one in taken:
            before = transaction.records.parts[one.code]
            transaction.put(one)
            _worked_on(transaction, one, work_words(before, one))
        transaction.words = f"took off again {', '.join(named(one) for one in taken)}"
        return taken


def _nothing_comes_off(part: Part) -> str:
    if on_machine(part):
        return f"Nothing is in the way of {named(part)}."
    return f"{named(part)} is off the machine already."


def refusals(book: Book, code: str, form: FitForm) -> list[tuple[Override, str]]:
    """What stands in the way of `fit`, each as the override that it would take and in words.

    Nothing is written down. Raises NotFound, or BadInput for a line the part has not.
    """
    part = part_by_code(book.records, code)
    return _refusals(book.records, part, _fitted(part, form, book.now()), form, book.now().date())


def _fitted(part: Part, form: FitForm, at: datetime) -> Part:
    """The part as the form says; one that was given only some of its torques stays snug."""
    after = put_on(
        part,
        at,
        snug=form.snug,
        torqued=form.torqued,
        short=form.short,
        renewed=form.renewed,
    )
    half_done = form.torqued and part.fitted != "fitted" and not all_torqued(after)
    return replace(after, fitted="snug") if half_done else after


def _refusals(
    tables: Tables, part: Part, after: Part, form: FitForm, today: date
) -> list[tuple[Override, str]]:
    """What stands in the way, each as the override it would take and in words."""
    found = [] if on_machine(part) else _held_up(tables, part, form, today)
    given = [after.fasteners[line - 1] for line in form.torqued]
    outside = [words for one in given if (words := outside_words(one, one.torqued or 0.0))]
    if outside:
        found.append((Override(what="torque"), "; ".join(outside)))
    return found


def _held_up(tables: Tables, part: Part, form: FitForm, today: date) -> list[tuple[Override, str]]:
    found = []
    buried = burying(tables, links_of(tables, part.machine), part.code)
    if buried:
        found.append((Override(what="buried", codes=tuple(buried.shut_in)), buried.words))
    wants = open_wants(tables).get(part.code, ())
    lacking = own_reasons(_as_said(part, form), wants, today)
    if lacking:
        words = "; ".join(reason.words for reason in lacking)
        found.append((Override(what="held up"), f"it is held up: {words}"))
    return found


def _as_said(part: Part, form: FitForm) -> Part:
    """The part without the shortages that the person has just named: those are accepted."""
    lines = tuple(
        replace(fastener, short=0) if number in form.short else fastener
        for number, fastener in enumerate(part.fasteners, 1)
    )
    return replace(part, fasteners=lines)


def _refusal_words(part: Part, refusals: list[tuple[Override, str]]) -> str:
    reasons = "; ".join(words.rstrip(".") for _, words in refusals)
    return f"{named(part)} was not fitted: {reasons}. Put that right, or fit it anyway."


def _fit_words(part: Part, overruled: list[tuple[Override, str]], why: str) -> str:
    """`fitted Cover TP-003-K, although held up: “the seal is late”`; a torque with its figure."""
    how = "made snug" if part.fitted == "snug" else "fitted"
    told = [words.rstrip(".") if one.what == "torque" else one.what for one, words in overruled]
    reason = f": “{why.strip()}”" if why.strip() else ""
    anyway = f", although {' and '.join(told)}{reason}" if told else ""
    return f"{how} {named(part)}{anyway}"


def _use_up_stock(transaction: Transaction, before: Part, after: Part) -> None:
    """What has just been renewed is taken off the stock in the drawer."""
    for was, line in zip(before.fasteners, lines_of([after]), strict=True):
        new = line.fastener.renewed and not was.renewed
        for what in renewed_items(line) if new else ():
            item = in_stock(transaction.records, what)
            if item is not None:
                left = max(0, item.quantity - line.fastener.quantity)
                transaction.put(replace(item, quantity=left))


def _worked_on(transaction: Transaction, part: Part, what: str) -> None:
    """Has the settings that hang on the part measured again, and its machine open."""
    if not what:
        return
    for setting in reopened_by(transaction.records.settings.values(), [part.code]):
        transaction.put(replace(setting, recheck=f"{named(part)} {what}"))
    transaction.worked_on(part.machine)
