"""The wrong item came: it is sent back, and the money comes back or the right one does."""

from __future__ import annotations

from datetime import date
from typing import Literal, get_args

from tagbench.errors import Refused
from tagbench.records import Want, WrongItem, replace
from tagbench.rules.describe.phrases import day, named_want

Settled = Literal["refunded", "replaced"]
"""refunded: it is to be ordered again; replaced: the right one is on its way."""
SETTLED: tuple[Settled, ...] = get_args(Settled)


def open_wrong(want: Want) -> WrongItem | None:
    """The wrong item that nothing has come of yet; None when there is none."""
    last = want.wrong[-1] if want.wrong else None
    return last if last is not None and not last.settled else None


def wrong_words(item: WrongItem) -> str:
    """`the wrong one came 3 Nov 2025 (left-hand one), sent back 5 Nov 2025, refunded`."""
    what = f" ({item.what})" if item.what else ""
    sent = f"sent back {day(item.sent_back)}" if item.sent_back else ""
    said = (f"the wrong one came {day(item.came)}{what}", sent, item.settled)
    return ", ".join(filter(None, said))


def wrong_came(want: Want, on: date, today: date, what: str) -> Want:
    """The want still ordered, the wrong item noted. Refused where nothing can have come."""
    if want.arrived is not None:
        raise Refused(f"{named_want(want)} arrived on {day(want.arrived)}; take that back first.")
    if want.ordered is None:
        raise Refused(f"{named_want(want)} is not ordered, so nothing can have come.")
    if open_wrong(want) is not None:
        raise Refused(
            f"{named_want(want)}: {wrong_words(want.wrong[-1])}; say first what came of it."
        )
    _days(want, on, today, want.ordered)
    item = WrongItem(came=on, what=" ".join(what.split()))
    return replace(want, wrong=(*want.wrong, item))


def send_back(want: Want, on: date, today: date) -> Want:
    """The wrong item sent back; Refused when there is none, or it went already."""
    item = _open(want)
    if item.sent_back is not None:
        raise Refused(f"{named_want(want)} was sent back on {day(item.sent_back)} already.")
    _days(want, on, today, item.came)
    return _with_last(want, replace(item, sent_back=on))


def settle(want: Want, how: Settled, due: date | None = None) -> Want:
    """What came of it: refunded, and to be ordered again; or replaced, and still to come."""
    done = _with_last(want, replace(_open(want), settled=how))
    if how == "refunded":
        return replace(done, ordered=None, ordered_as="", due=None)
    return replace(done, due=due)


def settled_by_arrival(want: Want) -> Want:
    """The want with its wrong item replaced, since the right one is here now."""
    item = open_wrong(want)
    return want if item is None else _with_last(want, replace(item, settled="replaced"))


def _open(want: Want) -> WrongItem:
    item = open_wrong(want)
    if item is None:
        raise Refused(f"No wrong one came for {named_want(want)}.")
    return item


def _with_last(want: Want, item: WrongItem) -> Want:
    return replace(want, wrong=(*want.wrong[:-1], item))


def _days(want: Want, on: date, today: date, earliest: date) -> None:
    if on > today:
        raise Refused(f"{day(on)} is still to come; give today or a day before it.")
    if on < earliest:
        raise Refused(
            f"{named_want(want)} was not there on {day(on)}; give {day(earliest)} or later."
        )
