"""Putting a part back on: snug, torqued, short of fasteners, renewed, taken off again."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import datetime

from tagbench.errors import BadInput
from tagbench.records import Fastener, Part, replace
from tagbench.rules.count.fastener_lines import wants_torque
from tagbench.rules.describe.phrases import named
from tagbench.rules.whereabouts import refuse_elsewhere
from tagbench.trade.fasteners.spelling import spell_torque
from tagbench.trade.torque.passes import standing_of, with_pass, without_passes

Numbers = Mapping[int, int]


def put_on(
    part: Part,
    at: datetime,
    *,
    snug: bool = False,
    torqued: Mapping[int, float] | None = None,
    short: Numbers | None = None,
    renewed: Collection[int] = (),
) -> Part:
    """The part put on, or brought further, with all its fasteners but those that are short.

    Lines are counted from 1. `torqued`: line → torque given, in the unit of the line's own range
    (N·m without one). `short`: line → how many are missing. `renewed`: lines of single-use items
    that are new. Fasteners that are away stay away. `snug` leaves it finger tight, which loosens
    what was tight: torques and renewals of every line are forgotten. A fastener that goes in late
    has no torque, so its line is open again. What is said here of a line holds. Raises BadInput for
    a line it has not, Refused for a part that is away or lost.
    """
    refuse_elsewhere(part)
    torqued, short = torqued or {}, short or {}
    _known_lines(part, [*torqued, *short, *renewed])
    lines = tuple(
        _with_all_back(
            fastener,
            short.get(number, fastener.short),
            torqued.get(number),
            renewed=number in renewed,
            loosened=snug,
            at=at,
        )
        for number, fastener in enumerate(part.fasteners, 1)
    )
    state = "snug" if snug else "fitted"
    when = part.fitted_at if part.fitted == state else at
    return replace(part, fasteners=lines, fitted=state, fitted_at=when)


def short_by(part: Part, short: Numbers) -> Part:
    """The part with so many fasteners of a line known to be missing; 0 when they turned up."""
    _known_lines(part, short)
    lines = tuple(
        _short(fastener, short[number]) if number in short else fastener
        for number, fastener in enumerate(part.fasteners, 1)
    )
    return replace(part, fasteners=lines)


def take_off(part: Part) -> Part:
    """The part off the machine again, its fasteners back in the bag.

    Torques are to be given again and single-use items renewed again; what was overruled when it
    went on is settled by its coming off (the history keeps it).
    """
    lines = tuple(
        replace(without_passes(fastener), back=0, renewed=False) for fastener in part.fasteners
    )
    return replace(
        part, fasteners=lines, fitted="off", fitted_at=None, overrides=(), stays_on=False
    )


def work_words(before: Part, after: Part, torqued: Iterable[int] = ()) -> str:
    """What was done to what holds a part: `was loosened`, `went on again`; empty for nothing.

    `torqued`: the lines that were given a torque, be it the same figure as before.
    """
    if before.fitted != "off" and after.fitted == "off":
        return "was taken off again"
    if before.fitted == "off":
        return "went on again" if after.fitted != "off" else ""
    if any(_looser(was, now) for was, now in zip(before.fasteners, after.fasteners, strict=True)):
        return "was loosened"
    if before.fitted == "fitted" and after.fitted == "snug":
        return "was loosened"
    if before.fitted != after.fitted:
        return "was tightened"
    late = any(n.back > w.back for w, n in zip(before.fasteners, after.fasteners, strict=True))
    return "was tightened again" if late or any(True for _ in torqued) else ""


def _looser(before: Fastener, after: Fastener) -> bool:
    """Whether a line was undone; a line opened only because a late fastener went in was not."""
    return before.torqued is not None and after.torqued is None and after.back <= before.back


def all_torqued(part: Part) -> bool:
    """Whether every torque that is specified has been given."""
    return not any(map(wants_torque, part.fasteners))


def single_use_lines(part: Part) -> list[int]:
    """The numbers of the lines that are single-use."""
    return [number for number, line in enumerate(part.fasteners, 1) if line.single_use]


def _with_all_back(
    fastener: Fastener,
    short: int,
    torqued: float | None,
    *,
    renewed: bool,
    loosened: bool,
    at: datetime,
) -> Fastener:
    gone = min(fastener.away, fastener.quantity - short)
    after = replace(_short(fastener, short), back=fastener.quantity - short - gone)
    if loosened or after.back > fastener.back:  # a late one has had none of the passes
        after = without_passes(after)
    if torqued is not None:
        after = with_pass(after, torqued, at)
    return replace(after, renewed=renewed or (fastener.renewed and not loosened))


def _short(fastener: Fastener, short: int) -> Fastener:
    here = fastener.quantity - fastener.away
    if not 0 <= short <= here:
        there = "There is 1 of this fastener"
        if fastener.quantity != 1:
            there = f"There are {fastener.quantity} of these fasteners"
        if fastener.away:
            there += (
                f" and {fastener.away} {'is' if fastener.away == 1 else 'are'} with someone else"
            )
        most = {0: "none", 1: "0 or 1"}.get(here, f"between 0 and {here} of them")
        raise BadInput(f"{there}, so {most} can be missing, not {short}.")
    return replace(fastener, short=short, back=min(fastener.back, here - short))


def _known_lines(part: Part, numbers: Iterable[int]) -> None:
    count = len(part.fasteners)
    for number in numbers:
        if not 1 <= number <= count:
            there = f"lines 1 to {count}" if count else "no fastener lines"
            raise BadInput(f"{named(part)} has {there}, so there is no line {number}.")


def outside_words(fastener: Fastener, given: float) -> str:
    """Why a torque, in the unit of the line's range, must not stand; empty when it may.

    One over the range must not. One under it is a stage on the way there and stays open. Where no
    range is written down, one that no screw of that size bears must not; see `past_proof`.
    """
    torque = fastener.torque
    if torque is None:
        return _past_proof_words(fastener, given)
    if standing_of(torque, given) != "over":
        return ""
    return f"{given:.4g} {torque.unit} is over the range {spell_torque(torque)}"


def _past_proof_words(fastener: Fastener, given_nm: float) -> str:
    if not fastener.thread:
        return ""
    from tagbench.trade.torque.proof import past_proof

    past = past_proof(fastener.thread, fastener.grade, given_nm)
    if past is None:
        return ""
    return f"{given_nm:.4g} N·m is {past.words}; look the torque up in the maker's manual"
