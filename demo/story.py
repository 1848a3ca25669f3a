"""The invented machine as it is told in `packman/*.toml`, typed and checked when read."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any, Literal, TypeVar

import msgspec

from tagbench.records import Gasket, Machine, StockItem

T = TypeVar("T")


class Note(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A piece of the story; a field that nobody reads is a mistake."""


class FastenerNote(Note, frozen=True, kw_only=True):
    """A line of fasteners in its short form, with what the short form cannot say."""

    text: str
    source: str = ""
    """Where its torque stands."""
    short: int = 0
    """How many are missing."""


class ReadingNote(Note, frozen=True, kw_only=True):
    """A measurement against its limit; the values are entered on the evening of measuring."""

    what: str
    values: tuple[float, ...]
    unit: str = "mm"
    low: float | None = None
    high: float | None = None
    uncertainty: float = 0.0
    source: str = ""


class NumberNote(Note, frozen=True, kw_only=True):
    """A part number and what became of it."""

    number: str
    status: Literal["original", "superseded", "obsolete", "substitute"] = "original"
    superseded_by: str = ""
    differs: str = ""


class PartNote(Note, frozen=True, kw_only=True):
    """A part as it came off; `key` names it for other parts and for the diary."""

    key: str
    name: str
    off: str
    bin: str
    position: str = ""
    quantity: int = 1
    fasteners: tuple[str | FastenerNote, ...] = ()
    sits_how: str = ""
    behind: tuple[str, ...] = ()
    kind: str = ""
    number: str = ""
    substitute: str = ""
    differs: str = ""
    numbers: tuple[NumberNote, ...] = ()
    readings: tuple[ReadingNote, ...] = ()
    make: Gasket | None = None
    twin: str = ""
    stack: str = ""
    together: str | None = None
    apart: str = ""
    """When what was kept together was taken apart after all."""
    pins: str = ""
    routing: str = ""
    diagram: str = ""
    photos: tuple[str, ...] = ()
    note: str = ""


class AssemblyNote(Note, frozen=True, kw_only=True):
    """An assembly and the parts that came off it."""

    path: str
    part: tuple[PartNote, ...]


class BinNote(Note, frozen=True, kw_only=True):
    """A bin; `kept_in` is the key of the one that holds it."""

    key: str
    name: str
    kind: str
    kept_in: str = ""
    note: str = ""


class WantNote(Note, frozen=True, kw_only=True):
    """Something to buy; `parts` are keys of parts."""

    key: str
    what: str
    parts: tuple[str, ...] = ()
    number: str = ""
    quantity: int = 1
    supplier: str = ""
    price: str = ""
    deposit: str = ""
    note: str = ""


class SettingNote(Note, frozen=True, kw_only=True):
    """An adjustment; `after` are keys of the parts whose fitting re-opens it."""

    key: str
    what: str
    assembly: str
    typed: str
    low: float
    high: float
    unit: str
    source: str
    after: tuple[str, ...] = ()
    note: str = ""


class TagsNote(Note, frozen=True, kw_only=True):
    """When the tags were printed, and how many spare ones ahead."""

    printed: str
    spare: int
    spare_printed: str


class DeskNote(Note, frozen=True, kw_only=True):
    """What the bench remembers."""

    stock: str
    suppliers: tuple[str, ...]
    used_with: dict[str, tuple[str, ...]]


class Entry(Note, frozen=True, kw_only=True, rename={"with_what": "with"}):
    """What was done at one time after the strip; the lists hold keys."""

    when: str
    words: str
    degreased: tuple[str, ...] = ()
    inspected: tuple[str, ...] = ()
    lubed: tuple[str, ...] = ()
    with_what: str = ""
    measured: tuple[str, ...] = ()
    reuse: tuple[str, ...] = ()
    replace: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    pattern: tuple[str, ...] = ()
    exchanged: tuple[str, ...] = ()
    stays: tuple[str, ...] = ()
    sent: tuple[str, ...] = ()
    packed: tuple[str, ...] = ()
    back: tuple[str, ...] = ()
    who: str = ""
    what_for: str = ""
    price: str = ""
    lost: dict[str, str] = {}
    found: str = ""
    finish: str = ""
    bare: str = ""
    to_finish: tuple[str, ...] = ()
    finished: tuple[str, ...] = ()
    dry_fitted: tuple[str, ...] = ()
    soak: tuple[str, ...] = ()
    hours: float | None = None
    want: tuple[str, ...] = ()
    ordered: tuple[str, ...] = ()
    due: str = ""
    arrived: tuple[str, ...] = ()
    some_came: dict[str, int] = {}
    wrong: dict[str, str] = {}
    explained: str = ""
    fitted: tuple[str, ...] = ()
    snug: tuple[str, ...] = ()
    torqued: dict[str, float] = {}
    set: dict[str, float] = {}
    recheck: dict[str, str] = {}
    queue: tuple[str, ...] = ()
    queue_bins: tuple[str, ...] = ()


class AsideNote(Note, frozen=True, kw_only=True):
    """Another machine, begun before this one and set aside for it."""

    when: str
    why: str
    machine: Machine
    part: tuple[PartNote, ...]


class StillOn(Note, frozen=True, kw_only=True):
    """Something that is still on the machine; `bin` is a path from the outside in."""

    name: str
    assembly: str
    position: str
    fasteners: str
    sits_how: str
    bin: str
    number: str


class Story(Note, frozen=True, kw_only=True):
    """Everything that is told of the machine."""

    machine: Machine
    aside: AsideNote
    tags: TagsNote
    desk: DeskNote
    stock: tuple[dict[str, Any], ...]
    bin: tuple[BinNote, ...]
    assembly: tuple[AssemblyNote, ...]
    want: tuple[WantNote, ...]
    setting: tuple[SettingNote, ...]
    entry: tuple[Entry, ...]
    still_on: tuple[StillOn, ...]

    def parts(self) -> list[tuple[str, PartNote]]:
        """Assembly and part, in the order in which the parts came off."""
        every = [(one.path, part) for one in self.assembly for part in one.part]
        return sorted(every, key=lambda pair: pair[1].off)

    def supplies(self) -> list[StockItem]:
        """What is in the drawer, numbered from 1."""
        told = enumerate(self.stock, 1)
        return [msgspec.convert({"id": number, **item}, StockItem) for number, item in told]


@cache
def story() -> Story:
    """Reads all files of the story; raises msgspec.ValidationError when one is wrong."""
    whole: dict[str, Any] = {}
    for file in sorted(files("demo").joinpath("packman").iterdir(), key=lambda file: file.name):
        if file.name.endswith(".toml"):
            _join(whole, tomllib.loads(file.read_text(encoding="utf-8")))
    return msgspec.convert(whole, Story)


def _join(whole: dict[str, Any], more: dict[str, Any]) -> None:
    for name, value in more.items():
        whole[name] = [*whole.get(name, []), *value] if isinstance(value, list) else value
