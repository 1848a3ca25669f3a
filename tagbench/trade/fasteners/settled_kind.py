"""What kind of thing a line is: by its words, or by its thread and head where no word says it."""

from __future__ import annotations

import re

from tagbench.trade.fasteners.choices import Meaning
from tagbench.trade.fasteners.options import Option
from tagbench.trade.fasteners.parsed_line import Figure, ParsedLine
from tagbench.trade.fasteners.tokens import tokens
from tagbench.trade.fasteners.vocabulary import (
    THREADED_KINDS,
    bench_words,
    fold,
    fold_words,
    look_up,
    nearest_word,
)

#: Below this a lone figure behind a thread is a count, not a length in mm.
_SHORTEST = 8
_PIPE = re.compile(r"^(?:G|R|Rp|Rc)\s?[0-9]|BSP|NPT|gas\b", re.IGNORECASE)


#: A fascetta holds a hose or a bundle of wires.
_BANDS = frozenset(("fascetta", "fascette"))
_ON_HOSE = re.compile(
    r"\b(?:tub[oi]|manicott[oi]|benzina|radiatore|aspirazione|carburatore|filtro|acqua|olio"
    r"|cuffi[ae]|soffiett[oi]|collettore|[0-9]+\s?-\s?[0-9]+)\b",
    re.IGNORECASE,
)
_ON_WIRES = re.compile(
    r"\b(?:cav[oi]|cablaggio|impianto|fil[oi]|guain[ae]|matassa|manubrio|plastica|ner[aeo])\b",
    re.IGNORECASE,
)


def _settle_band(said: Meaning) -> None:
    """`fascetta tubo benzina` is a hose clip, on the loom a cable tie; one alone is asked."""
    line = said.line
    if fold(line.kind_words) not in _BANDS or line.kind != "clip":
        return
    own = line.text[line.start : line.end] or line.text
    token = line.kind_words
    if _ON_HOSE.search(own):
        line.kind, line.kind_words = "hose clip", ""
    elif _ON_WIRES.search(own):
        line.kind, line.kind_words = "cable tie", ""
    elif not line.surely_plural or line.count is not None:  # else how many is asked
        line.kind_words = ""
        said.doubt(token, [Option(kind, f"kind:{kind}") for kind in ("hose clip", "cable tie")])


def settle_kind(said: Meaning) -> str:
    """Writes the kind into the line, and gives it back: by its words, its thread or its head."""
    line = said.line
    _settle_band(said)
    if "kind" in said.fields:
        line.kind = str(said.fields.pop("kind"))
    threaded = bool(line.thread or said.fields.get("thread"))
    ring = line.kind in ("circlip", "star washer") or not (line.kind or threaded)
    if line.head in ("internal", "external", "wire") and not ring:
        typed = [word for word in head_words(line) if word not in said.words]
        line.place += typed or [line.head]
        line.head = ""
    named = line.figures or line.gauge or threaded
    if not line.kind and (line.head or line.drive) and line.words and not named:
        said.words += head_words(line)
        line.head = line.drive = ""
    if not line.kind:
        if (
            said.fields.get("thread")
            or line.thread is not None
            or (
                (line.head or line.drive)
                and line.head not in ("internal", "external", "E", "wire", "woodruff", "square")
            )
        ):
            if _is_unknown_thing(said):
                line.kind = "other"
                return line.kind
            pipe = line.thread is not None and _PIPE.search(line.thread_text)
            line.kind = "fitting" if pipe else "screw"
        elif line.head in ("internal", "external", "E", "wire") and not _is_too_thick(line):
            line.kind = "circlip"
        else:
            line.kind = "other"
    return line.kind


#: No circlip is thicker, in mm.
_THICKEST = 6


def _is_too_thick(line: ParsedLine) -> bool:
    """The belt of `belt 10x710 internal` is no circlip of 10 mm."""
    sizes = [figure.token.numbers for figure in line.figures]
    thick = any(len(many) > 1 and many[1].value > _THICKEST for many in sizes)
    if thick:
        line.place.append(line.head)
        line.head = ""
    return thick


def _is_unknown_thing(said: Meaning) -> bool:
    """`M6 whatsit` has a thread, but nobody says that it is a screw."""
    line = said.line
    if line.thread is None and "length" in said.fields:
        return False
    near = [look_up((word,)) for word in map(nearest_word, line.words) if word]
    if any(one and one[1].kind and one[1].kind not in THREADED_KINDS for one in near):
        return True  # wshers m6 x4: no screws
    length = any(figure.adjacent and not _may_count(figure) for figure in line.figures)
    words = [word for said in line.words for word in said.split()]
    named = any(
        word.isalpha()
        and len(word) > 2
        and fold(word) not in bench_words("condition")
        and fold(word) not in bench_words("hedge")
        and fold(word) not in bench_words("sizes")
        for word in words
    )
    last = fold_words(line.place[-1])[-2:] if line.place else []
    threaded = bench_words("threaded thing")
    if " ".join(last) in threaded and len(last) > 1:
        return not length
    named = named or bool(set(last[-1:]) & set(threaded))
    spelled = "“" in line.text  # a screw that is spelled with words and no length is named
    return named and not (length or ((line.head or line.drive) and not spelled))


def _may_count(figure: Figure) -> bool:
    """The 2 of `ring terminals M6 2`."""
    token = figure.token
    few = len(token.numbers) == 1 and 0 < token.numbers[0].whole < _SHORTEST
    return few and token.cross != "tight"


def head_words(line: ParsedLine) -> list[str]:
    """The cap of `oil filler cap` as it was typed: what is no fastener has no such head."""
    said = re.sub(r"[()]", " ", line.text[line.start : line.end])
    return [
        token.text
        for token in tokens(said)
        if token.entry is not None and (token.entry.head or token.entry.drive)
    ]
