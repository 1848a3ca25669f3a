"""Finds the thread that begins at a place of a typed fastener, or the threads it may be."""

from __future__ import annotations

import re
from functools import cache

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.quantities.typed import parse_number
from tagbench.trade.threads.designation import LEFT_HAND, left_handed, parse_thread, scan_thread
from tagbench.trade.threads.sizes import all_threads, inch_by_size, metric_by_diameter
from tagbench.trade.threads.thread import Thread


class ThreadOption(msgspec.Struct, frozen=True):
    """One thread that a text may name, and how many pieces that reading leaves."""

    thread: str
    count: int = 0


class ThreadFound(msgspec.Struct, frozen=True):
    """A thread in a text, sure or open."""

    end: int
    """Index of the first character behind it."""
    size: str
    """How its size is typed, without pitch and length."""
    thread: Thread | None = None
    """The thread when there is no doubt."""
    options: tuple[ThreadOption, ...] = ()
    """The threads it may be when there is, likeliest first."""
    count: int = 0
    """How many are said with it: the 2 of `2 1/4 BSF`, which can be no size."""
    bare: bool = False
    """A metric size without its pitch, which is the coarse thread save on plugs and the like."""


_BEGINS = re.compile(
    r"M\s?[0-9]|[0-9.#]|No|Nr|BA\s?[0-9]|(?:UN[CFS]?|UNEF|N[CF]|BS[WFC]|W|Whit|CEI|CYC)[\w.]*\s?[0-9#.]"
    r"|FG\s?2|(?:G|R[pc]?|BSPP?|BSPT|NPTF?)\s?[0-9]",
    re.IGNORECASE,
)


#: The caps of bulbs, which are called like BA threads: BA9s, BA15d.
_LAMP_CAP = re.compile(r"BA[YX]?\s?[0-9]{1,2}[sd]\b", re.IGNORECASE)


@cache
def _metric() -> re.Pattern[str]:
    return re.compile(
        r"M\s?(?P<size>[0-9]{1,2}(?:[.,][0-9])?)(?![0-9])(?P<second>\s?[x-]\s?(?P<pitch>[0-9]?[.,]?[0-9]{1,3})(?![0-9]|/(?!\s?M[0-9])|[.,][0-9]|\s[0-9]+/[0-9]|\s?(?:mm|in\b|\"|cm)))?"
        r"(?P<spaced>\s(?P<spaced_pitch>[0-9]?[.,][0-9]{1,2})(?![0-9]|\s?(?:mm|in\b|\")))?"
        r"(?P<said>,?\s(?:pitch|pas|paso|passo|steigung|stg\.?)\s(?:de\s|da\s|di\s)?(?P<said_pitch>[0-9]?[.,]?[0-9]{1,2})(?![0-9/]|[.,][0-9])(?:\s?mm)?)?"
        r"(?P<told>\s(?P<told_pitch>[0-9]?[.,][0-9]{1,2}|[123])\s?(?:mm\s)?(?:pitch|steigung)\b)?"
        r"(?:\s?-?\s?(?P<word>coarse|fine|feingew(?=\.|,|$)|fein|fin)\b)?",
        re.IGNORECASE,
    )


@cache
def _tolerance() -> re.Pattern[str]:
    return re.compile(r"\s?-?\s?[0-9][a-hA-H](?:[0-9][a-hA-H])?\b")


@cache
def _mixed() -> re.Pattern[str]:
    return re.compile(r"(?P<whole>[1-9][0-9]?)\s(?=[0-9]{1,2}/[0-9]{1,2})")


@cache
def _with_tpi() -> re.Pattern[str]:
    return re.compile(
        r"(?P<size>#\s?[0-9]{1,2}|[0-9]{1,2}/[0-9]{1,2}|[1-4]-[0-9]/[0-9]{1,2}|[1-4](?=\"|\s?in))\s?(?:\"|in\b|inch\b)?"
        r"\s?(?:[x-]|,)?\s?(?P<tpi>[0-9]{1,2}(?:\.5)?)\s?(?:tpi|threads\s(?:per|to\sthe)\sinch)\b"
        r"(?:\s(?P<series>UNC|UNF|UNEF|BSW|BSF|BSC|CEI|whit\w*|cycle|brass))?",
        re.IGNORECASE,
    )


@cache
def _pipe() -> re.Pattern[str]:
    size = r"(?P<size>1/16|1/8|1/4|3/8|1/2|5/8|3/4|7/8|1-1/[248]|1-3/4|[12](?![0-9/.,x-]))"
    names = r"(?P<name>BSPP|BSPT|BSP|NPTF|NPT|NPSM|gas\b|pipe\sthread|Rohrgewinde)"
    return re.compile(
        rf"(?:(?P<letter>G|R|Rp|Rc)\s?{size}(?![0-9/])(?:\s?\"|\s?in(?:ch)?\b)?"
        rf"|{size.replace('size', 'size2')}(?:\s?\"|\s?in(?:ch)?\b)?[\s-]?{names}"
        r"(?:\s(?P<form>parallel|taper(?:ed)?|par|tap)\b)?"
        rf"|{names.replace('name', 'name2')}\s?{size.replace('size', 'size3')}(?:\s?\")?)",
        re.IGNORECASE,
    )


#: No screw of a small machine is thicker than this; a larger "M" is no thread.
_THICKEST_MM = 64.0
#: No pitch of a screw of a small machine is as wide, in mm.
_WIDEST_PITCH = 3.6
#: From this diameter on a 1 behind it is a pitch although no table has it.
_FINE_FROM = 8
#: Millimetres of pitch that a metric thread of some diameter is cut with, beyond the tables.
_PITCHES = (
    0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5,
    4,
)  # fmt: skip


def thread_at(text: str, at: int, inside: bool = False) -> ThreadFound | None:
    """The thread that begins at `at` in a tidy text; None when nothing there looks like one.

    `inside` allows the x of a count right before it, as in 4x1/4-20.
    """
    counted = at > 1 and text[at - 1] in "xX" and text[at - 2].isdigit() and text[at] in "Mm#"
    counted = counted or _counted_tight(text, at)
    runs_on = bool(at) and (text[at - 1].isalnum() or text[at - 1] in "./,") and not counted
    if not _BEGINS.match(text, at) or (runs_on and not inside) or _LAMP_CAP.match(text, at):
        return None
    if text[at] in "mM":
        return _metric_at(text, at)
    return _spoke_at(text, at) or _pipe_at(text, at) or _inch_at(text, at)


_COUNT_BEFORE = re.compile(r"(?<![\w.,/])[1-9][0-9]?/?$")


def _counted_tight(text: str, at: int) -> bool:
    """The M6 of 4M6x20."""
    return text[at] == "M" and _COUNT_BEFORE.search(text[max(0, at - 6) : at]) is not None


def _metric_at(text: str, at: int) -> ThreadFound | None:
    first = _one_metric_at(text, at)
    if first is None or not re.match(r"\s?/\s?M[0-9]", text[first.end : first.end + 4]):
        return first
    second = _one_metric_at(text, text.index("M", first.end))
    if first.thread is None or second is None or second.thread is None:
        return first
    either = ThreadOption(first.thread.designation), ThreadOption(second.thread.designation)
    return ThreadFound(second.end, text[at : second.end], options=either)  # M5/M6


def _one_metric_at(text: str, at: int) -> ThreadFound | None:
    found = _metric().match(text, at)
    if found is None:
        return None
    size = float(found["size"].replace(",", "."))
    if not 1 <= size <= _THICKEST_MM:
        return None
    pitch = found["pitch"] or found["spaced_pitch"] or found["said_pitch"] or found["told_pitch"]
    if found["word"] and not pitch:
        return _by_word(text, found, size)
    group = next((name for name in ("spaced", "said", "told") if found[name]), "second")
    end = found.end("second") if found["pitch"] else found.end(group)
    if pitch and is_pitch(size, float(pitch.replace(",", ".")), tight=bool(found["pitch"])):
        value = float(pitch.replace(",", "."))
        return _found(text, f"M{size:g}x{value:g}", end, found["size"])
    known = tuple(ThreadOption(one.designation) for one in metric_by_diameter().get(size, ()))
    if pitch and known and _is_odd_pitch(text, pitch, end):
        return ThreadFound(end, text[at:end], options=known)  # M5x1.0x25
    coarse = _coarse(size)
    end = found.end("size")
    if coarse is None:
        return ThreadFound(end, f"M{found['size']}", options=known)
    whole = _found(text, coarse.designation, end, found["size"])
    return whole and msgspec.structs.replace(whole, bare=True)


def _is_odd_pitch(text: str, pitch: str, end: int) -> bool:
    """Whether a second figure is a pitch that no table has: the 1.0 of M5x1.0, of M5x1x25."""
    value = float(pitch.replace(",", "."))
    parted = not pitch.isdecimal() or re.match(r"\s?x\s?[0-9]{2}", text[end : end + 5]) is not None
    return parted and value < _WIDEST_PITCH


def _coarse(size: float) -> Thread | None:
    known = metric_by_diameter().get(size, ())
    return next((thread for thread in known if thread.series == "coarse"), None)


def is_pitch(size: float, pitch: float, tight: bool = True) -> bool:
    """Whether a second figure is the pitch of a metric thread and not a length."""
    if any(thread.pitch_mm == pitch for thread in metric_by_diameter().get(size, ())):
        return True
    fraction = pitch != int(pitch) or (pitch == 1 and size >= _FINE_FROM)
    return tight and fraction and pitch in _PITCHES and pitch <= size / 3


def _by_word(text: str, found: re.Match[str], size: float) -> ThreadFound:
    word = "coarse" if found["word"].lower() == "coarse" else "fine"
    known = [one for one in metric_by_diameter().get(size, ()) if one.series == word]
    if len(known) == 1:
        sure = _found(text, known[0].designation, found.end(), found["size"])
        if sure:
            return sure
    options = tuple(ThreadOption(one.designation) for one in known)
    return ThreadFound(found.end(), f"M{found['size']} {word}", options=options)


def _found(text: str, designation: str, end: int, size: str) -> ThreadFound | None:
    try:
        thread = parse_thread(designation)
    except BadInput:
        return None
    if tolerance := _tolerance().match(text, end):
        end = tolerance.end()
    if left := LEFT_HAND.match(text, end):
        return ThreadFound(left.end(), size, left_handed(thread))
    return ThreadFound(end, size, thread)


@cache
def _spoke() -> re.Pattern[str]:
    return re.compile(r"FG\s?(?P<size>2(?:[.,][036])?)(?![0-9.,])", re.IGNORECASE)


def _spoke_at(text: str, at: int) -> ThreadFound | None:
    """The thread of a cycle spoke, `FG 2.3`."""
    found = _spoke().match(text, at)
    if found is None:
        return None
    size = f"{float(found['size'].replace(',', '.')):g}"
    return _found(text, f"FG {size}", found.end(), size)


def _pipe_at(text: str, at: int) -> ThreadFound | None:
    found = _pipe().match(text, at)
    if found is None:
        return None
    size = found["size"] or found["size2"] or found["size3"]
    name = (found["letter"] or found["name"] or found["name2"]).upper()
    form = (found["form"] or "").lower()
    if name in ("BSPP",) or (name in ("BSP", "GAS") and form.startswith("par")):
        names = [f"G {size}"]
    elif name == "BSPT" or (name in ("BSP", "GAS") and form.startswith("tap")):
        names = [f"R {size}"]
    elif name in ("NPT", "NPTF"):
        names = [f"{size} NPT"]
    elif found["letter"]:
        names = [f"{found['letter'][0].upper()}{found['letter'][1:].lower()} {size}"]
    else:
        names = [f"G {size}", f"R {size}"] + ([f"{size} NPT"] if name == "PIPE THREAD" else [])
    if len(names) > 1:
        return ThreadFound(found.end(), found[0], options=tuple(ThreadOption(one) for one in names))
    return ThreadFound(found.end(), found[0], pipe_thread(names[0]))


def pipe_thread(name: str) -> Thread:
    """A pipe thread by its designation; the tables of threads hold its measures."""
    try:
        return parse_thread(name)
    except BadInput:
        return Thread(name, "Whitworth", "", 0.0, 0.0)


@cache
def _lockring() -> re.Pattern[str]:
    """The thread of cycle brackets and hubs, 1.370 in by 24."""
    return re.compile(
        r"1[.,]370?\s?\"?\s?(?:x|-|\s)\s?24(?:\s?tpi\b)?(?:\s?(?:BSC|CEI)\b)?(?![0-9/])",
        re.IGNORECASE,
    )


def _inch_at(text: str, at: int) -> ThreadFound | None:
    if ring := _lockring().match(text, at):
        return ThreadFound(ring.end(), ring[0], parse_thread("1.370-24"))
    if per_inch := _with_tpi().match(text, at):
        return _per_inch(per_inch)
    mixed = _mixed().match(text, at)
    if mixed:
        return _mixed_at(text, at, mixed)
    return _scanned(text, at)


def _scanned(text: str, at: int) -> ThreadFound | None:
    try:
        found = scan_thread(text, at)
    except BadInput:
        return None
    if found is None or _runs_on(text, found.end) or _is_no_thread(text, at, found.end):
        return None
    return ThreadFound(found.end, text[at : found.end], found.thread)


_COUNTED = re.compile(r"\s?-?(?:off|pcs?|pieces?|ea|each)\b", re.IGNORECASE)
_RANGE = re.compile(r"[1-9]\s?-\s?[1-6]")


def _is_no_thread(text: str, at: int, end: int) -> bool:
    """The 3 of `UNF 3 off` is a count; `3-4 M6x16` are three or four."""
    if text[at].isalpha() and _COUNTED.match(text, end):
        return True
    return _RANGE.fullmatch(text[at:end]) is not None


def _runs_on(text: str, end: int) -> bool:
    """Whether the figure goes on, so that the 10-32 of 10-32/5 is no thread."""
    return text[end : end + 1] == "/" or (
        text[end : end + 1].isdigit() and text[end - 1 : end].isdigit()
    )


def _mixed_at(text: str, at: int, mixed: re.Match[str]) -> ThreadFound | None:
    """`1 1/4 UNC`: one piece of 1/4 UNC, or a thread of 1-1/4 inch."""
    fraction = _scanned(text, mixed.end())
    if fraction is None or fraction.thread is None:
        return None
    count = int(mixed["whole"])
    whole = _scanned(f"{text[: mixed.end() - 1]}-{text[mixed.end() :]}", at)
    if whole is None or whole.thread is None or not whole.thread.series:
        return ThreadFound(fraction.end, fraction.size, fraction.thread, count=count)
    options = (
        ThreadOption(fraction.thread.designation, count),
        ThreadOption(whole.thread.designation),
    )
    return ThreadFound(fraction.end, text[at : fraction.end], options=options)


def _per_inch(found: re.Match[str]) -> ThreadFound:
    size = found["size"].replace(" ", "")
    series = found["series"] or ""
    tpi = parse_number(found["tpi"])
    fitting = [
        one for one in inch_by_size().get(size, ()) if abs(one.threads_per_inch - float(tpi)) < 0.01
    ]
    if series:
        try:
            thread = parse_thread(f"{size}-{found['tpi']} {series}")
            return ThreadFound(found.end(), found[0], thread)
        except BadInput:
            fitting = []
    if len(fitting) == 1:
        return ThreadFound(found.end(), found[0], fitting[0])
    return ThreadFound(
        found.end(), found[0], options=tuple(ThreadOption(one.designation) for one in fitting)
    )


@cache
def threads_of_size(size: str) -> tuple[Thread, ...]:
    """The threads of the tables with that nominal size in inches, `3/8`, commonest first."""
    order = ("UNC", "UNF", "BSW", "BSF", "BSC", "UNEF")
    known = inch_by_size().get(size, ())
    return tuple(
        sorted(
            known,
            key=lambda one: (one.common, order.index(one.series) if one.series in order else 9),
        )
    )


@cache
def designations() -> frozenset[str]:
    """Every designation of the tables."""
    return frozenset(thread.designation for thread in all_threads())
