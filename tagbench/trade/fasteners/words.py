"""What the words of a typed fastener say: its kind, head, drive, material and locking."""

from __future__ import annotations

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.fasteners.vocabulary import (
    THREADED_KINDS,
    fold_words,
    locking_phrases,
    longest_phrase,
    nearest_word,
    phrases,
)

FORMS = (
    "write it as 4x M5x0.8x12 pan, 2x 1/4-20 x 3/4 hex grade 5, castle nut M12x1.25 or"
    " cotter pin 3.2x32, with the place in ( ), or keep it as a note"
)
_NOISE = frozenset(
    (
        "head", "headed", "hd", "type", "finish", "plated", "thread", "threaded", "a", "an",
        "the", "of", "and", "long", "dia",
    )
)  # fmt: skip
_ONCE = {"single use": True, "reusable": False}


class NotUnderstood(BadInput):
    """A fastener that cannot be read; the typed text is kept for a note."""

    def __init__(self, sentence: str, typed: str, word: str = "") -> None:
        super().__init__(sentence)
        self.typed = typed
        """The whole text as it was typed."""
        self.word = word
        """The word that was not understood, if it was one."""


class Words(msgspec.Struct):
    """What the words of a line said."""

    kind: str = ""
    head: str = ""
    drive: str = ""
    material: str = ""
    locking: tuple[str, ...] = ()
    single_use: bool | None = None


def read_words(text: str, typed: str, screw: bool) -> Words:
    """What the words say; behind a `screw` with its length, a washer or pin locks it."""
    said, left = Words(), fold_words(text.replace(",", " "))
    while left:
        used = _once(said, left) or _noise(left) or _phrase(said, left, typed, screw)
        if not used:
            raise _not_understood(left[0], typed)
        left = left[used:]
    if said.drive == "hex socket" and said.head in ("", "socket"):
        said.head, said.drive = "socket", ""
    return said


def _once(said: Words, words: list[str]) -> int:
    for phrase, value in _ONCE.items():
        if words[: len(phrase.split())] == phrase.split():
            said.single_use = value
            return len(phrase.split())
    return 0


def _noise(words: list[str]) -> int:
    return int(words[0] in _NOISE)


def _phrase(said: Words, words: list[str], typed: str, screw: bool) -> int:
    """Takes in the phrase that `words` begin with; the number of words it used."""
    phrase = longest_phrase(words, phrases())
    locking = longest_phrase(words, locking_phrases())
    item = locking_phrases()[locking] if locking else ""
    locks_screw = screw and item not in THREADED_KINDS
    if item and len(locking) >= len(phrase) and (said.kind or locks_screw):
        said.locking = (*said.locking, item)
        return len(locking)
    for field, value in phrases()[phrase].items() if phrase else ():
        _say(said, field, value, typed)
    return len(phrase)


def _say(said: Words, field: str, value: str, typed: str) -> None:
    before = getattr(said, field)
    if field == "material":
        value = f"{before} {value}".strip()
    elif before and before != value and not (field == "kind" and before == "screw"):
        raise NotUnderstood(
            f'"{before}" and "{value}" are two {field}s for one fastener;'
            " separate several fasteners with ;.",
            typed,
            value,
        )
    setattr(said, field, value)


def _not_understood(word: str, typed: str) -> NotUnderstood:
    near = nearest_word(word)
    guess = f" (did you mean {near}?)" if near else ""
    return NotUnderstood(f'The word "{word}" is not understood{guess}; {FORMS}.', typed, word)


def settle_kind(words: Words, thread: bool, sizes: bool, typed: str) -> None:
    """What has a thread or a head and no name is a screw; NotUnderstood for anything else."""
    if words.kind:
        return
    if not thread and (sizes or not (words.head or words.drive)):
        raise NotUnderstood(f'"{typed}" does not say what it is; {FORMS}.', typed)
    words.kind = "screw"
