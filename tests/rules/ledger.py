"""A ledger of a garage, kept by hand from the words of the design: it knows nothing of tagbench.

Plain dictionaries and sets, the slow way: links are walked anew for each question, nothing is kept
that can be worked out. What the book says after each action is held against it.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date


@dataclass
class Line:
    """One line of fasteners."""

    quantity: int
    low: float = 0.0
    """Specified torque, N·m, 0 for none."""
    high: float = 0.0
    single_use: bool = False
    back: int = 0
    short: int = 0
    torqued: float | None = None
    renewed: bool = False

    @property
    def wants_torque(self) -> bool:
        """A torque is specified and not given."""
        return self.high > 0 and (self.torqued is None or self.torqued < self.low)

    @property
    def is_outside(self) -> bool:
        """The torque given is outside the range."""
        return self.torqued is not None and self.high > 0 and self.torqued > self.high


@dataclass
class Piece:
    """One part: the piece that came off, and the new one where it is replaced."""

    code: str
    behind: set[str]
    removed: date
    lines: list[Line]
    on: str = "off"
    verdict: str = "undecided"
    new: str = ""
    """wanted or here."""
    old: str = ""
    """kept or gone."""
    care: set[tuple[str, date, bool]] = field(default_factory=set)
    """Step, day, and whether it was done to the new piece."""
    soak: bool | None = None
    """Whether it is the new piece that soaks; None for neither."""
    to_make: bool = False
    made: bool = False
    overruled: list[tuple[str, frozenset[str]]] = field(default_factory=list)

    @property
    def mark(self) -> str:
        """The mark of its machine."""
        return self.code.split("-")[0]

    @property
    def is_new(self) -> bool:
        """The piece at hand is the new one."""
        return self.verdict == "replace" and self.new == "here"

    @property
    def soaks(self) -> bool:
        """The piece at hand lies in the tray."""
        return self.soak is not None and self.soak == self.is_new

    def done(self, step: str) -> bool:
        """A step of care was done to the piece at hand."""
        return any(name == step and new == self.is_new for name, _, new in self.care)


@dataclass
class Order:
    """Something wanted."""

    parts: set[str]
    quantity: int
    ordered: date | None = None
    arrived: date | None = None


@dataclass
class Adjustment:
    """A setting with its range 20 to 30."""

    mark: str
    after: set[str]
    value: float | None = None
    stale: bool = False


@dataclass
class Ledger:
    """Everything that a state of the garage remembers."""

    pieces: dict[str, Piece] = field(default_factory=dict)
    orders: dict[int, Order] = field(default_factory=dict)
    settings: dict[int, Adjustment] = field(default_factory=dict)
    closed: dict[str, set[str]] = field(default_factory=dict)
    """Mark of a closed machine → the open lines it was closed with."""
    bins: dict[str, tuple[str, str]] = field(default_factory=dict)
    """Code → name and the code of what holds it."""

    def deeper(self, code: str) -> set[str]:
        """What must go on before a part, over any number of links."""
        found: set[str] = set()
        todo = [code]
        while todo:
            here = todo.pop()
            for other in self.pieces.values():
                if here in other.behind and other.code not in found:
                    found.add(other.code)
                    todo.append(other.code)
        return found - {code}

    def outer(self, code: str) -> set[str]:
        """What had to come off before a part, over any number of links."""
        found: set[str] = set()
        todo = [code]
        while todo:
            for other in self.pieces[todo.pop()].behind:
                if other not in found:
                    found.add(other)
                    todo.append(other)
        return found - {code}

    def off(self, codes: set[str]) -> set[str]:
        """Those of them that are off the machine."""
        return {code for code in codes if self.pieces[code].on == "off"}

    def waits(self, code: str) -> bool:
        """An order that has not arrived names the part."""
        return any(code in one.parts and one.arrived is None for one in self.orders.values())

    def came(self, code: str) -> bool:
        """An order that names the part has arrived, and none is open."""
        return not self.waits(code) and any(code in one.parts for one in self.orders.values())

    def lacks(self, piece: Piece, accepted: Collection[int] = ()) -> bool:
        """The part itself is not fit to go on; `accepted` lines may be short."""
        dirty = piece.verdict != "replace" and not piece.done("degreased")
        missing = piece.verdict == "replace" and piece.new != "here"
        short = any(line.short for at, line in enumerate(piece.lines) if at not in accepted)
        undecided = piece.verdict == "undecided"
        return piece.soaks or dirty or missing or undecided or short or self.waits(piece.code)

    def ready(self, mark: str) -> set[str]:
        """Off, nothing lacking, everything deeper on."""
        return {
            one.code
            for one in self.of(mark)
            if one.on == "off" and not self.lacks(one) and not self.off(self.deeper(one.code))
        }

    def of(self, mark: str) -> list[Piece]:
        """The parts of a machine."""
        return [one for one in self.pieces.values() if one.mark == mark]

    def open_setting(self, one: Adjustment) -> bool:
        """Not measured, worked on since, hanging on a part that is off, or outside."""
        hangs = any(self.pieces[code].on == "off" for code in one.after if code in self.pieces)
        return one.value is None or one.stale or hangs or not 20 <= one.value <= 30

    def stands(self, piece: Piece, what: str, codes: frozenset[str]) -> bool:
        """The cause of something overruled still stands."""
        if what == "buried":
            return bool(self.off({code for code in codes if code in self.pieces}))
        if what == "torque":
            return any(line.is_outside for line in piece.lines)
        return self.lacks(piece)

    def open(self, mark: str) -> set[str]:
        """Everything in the way of closing; what was overruled by its part alone."""
        found: set[str] = set()
        for one in self.of(mark):
            code, on = one.code, one.on != "off"
            found |= set() if on else {f"off:{code}"}
            found |= {f"snug:{code}"} if one.on == "snug" else set()
            found |= {f"old:{code}"} if one.old == "kept" else set()
            if any(self.stands(one, what, codes) for what, codes in one.overruled):
                found.add(f"override:{code}")
            for number, line in enumerate(one.lines, 1):
                gone = min(line.short, line.quantity - line.back)
                if gone:
                    found.add(f"lost:{code}/{number}")
                if on and line.quantity - line.back - gone:
                    found.add(f"bag:{code}/{number}")
                staged = line.torqued is not None and line.wants_torque
                if staged or (one.on == "fitted" and line.wants_torque):
                    found.add(f"torque:{code}/{number}")
                if on and line.single_use and not line.renewed:
                    found.add(f"renew:{code}/{number}")
        found |= {
            f"setting:{number}"
            for number, one in self.settings.items()
            if one.mark == mark and self.open_setting(one)
        }
        return found

    def work(self, mark: str) -> object:
        """What work on a machine changes, compared before and after; a link noted is no work."""
        pieces = [{**vars(one), "behind": ()} for one in self.of(mark)]
        settings = {n: vars(one) for n, one in self.settings.items() if one.mark == mark}
        return pieces, settings

    def settle(self, code: str) -> None:
        """A replaced part that waits for nothing more has its new piece here."""
        one = self.pieces.get(code)
        if one is not None and one.verdict == "replace" and one.new == "wanted" and self.came(code):
            one.new = "here"

    def let_go(self, code: str, *, arrived_too: bool = False) -> None:
        """Orders no longer name the part; one with nothing left that is not ordered is dropped."""
        for number, one in list(self.orders.items()):
            if code in one.parts and (arrived_too or one.arrived is None):
                one.parts = one.parts - {code}
                if not one.parts and one.ordered is None and one.arrived is None:
                    del self.orders[number]

    def stale(self, code: str) -> None:
        """The part was worked on: what was measured and hangs on it is to be measured again."""
        for one in self.settings.values():
            if code in one.after and one.value is not None:
                one.stale = True

    def put_on(
        self,
        code: str,
        *,
        snug: bool,
        torqued: dict[int, float],
        short: dict[int, int],
        renewed: set[int],
    ) -> bool:
        """Puts a part on or further; True when anything that holds it was turned."""
        one = self.pieces[code]
        turned = bool(torqued)
        for at, line in enumerate(one.lines):
            line.short = short.get(at, line.short)
            back = line.quantity - line.short
            late, had = back > line.back, line.torqued is not None
            line.back = back
            if at in torqued:
                line.torqued = torqued[at]
            elif snug or late:
                line.torqued = None
            if at in renewed:
                line.renewed = True
            elif snug:
                line.renewed = False
            turned = turned or late or (had and line.torqued is None)
        half_done = bool(torqued) and one.on != "fitted" and any(x.wants_torque for x in one.lines)
        state = "snug" if snug or half_done else "fitted"
        turned = turned or state != one.on
        one.on = state
        if one.soaks:
            one.soak = None
        return turned

    def take_off(self, code: str) -> None:
        """A part comes off: its torques and renewals, and what was overruled, are forgotten."""
        one = self.pieces[code]
        one.on, one.overruled = "off", []
        for line in one.lines:
            line.back, line.torqued, line.renewed = 0, None, False
        self.stale(code)

    def path_taken(self, name: str, inside: str, but: str = "") -> bool:
        """Another bin of that name lies right there."""
        return any(
            (one.casefold(), place) == (name.casefold(), inside) and code != but
            for code, (one, place) in self.bins.items()
        )

    def holds(self, code: str, other: str) -> bool:
        """A bin is, or lies somewhere in, another one."""
        while code:
            if code == other:
                return True
            code = self.bins[code][1]
        return False
