"""Text without the signs that nobody can see and that change what others show.

Left out are control characters other than line ends and tabs (C0, C1, DEL), the signs that turn the
direction of writing (Unicode Standard Annex #9, explicit formatting), zero-width signs and tags.
"""

from __future__ import annotations

import re

_UNSEEN = (
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f"  # C0, DEL, C1
    "\u00ad\u061c\u180e"
    "\u200b-\u200f\u202a-\u202e"  # zero width, direction
    "\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\U000e0000-\U000e007f]"
)
_LINE_ENDS = "\r\n?|[\u0085\u2028\u2029]"


def clean(text: str) -> str:
    """The text with plain line ends and nothing unseen in it."""
    if text.isascii() and text.isprintable():
        return text
    return re.sub(_UNSEEN, "", re.sub(_LINE_ENDS, "\n", text))


def one_line(text: str, most: int = 200) -> str:
    """The text in one line, as an error sentence shows what was typed; cut with … when longer."""
    plain = " ".join(clean(text[: 4 * most]).split())
    return plain if len(plain) <= most and len(text) <= 4 * most else f"{plain[: most - 1]}…"


WORD, PATH_WORD = 100, 250
"""So many characters of one word, or of one quotation, a sentence shows; of a path some more."""
_LONG_WORD = re.compile(rf"\S{{{WORD + 1},}}")
_LONG_QUOTE = re.compile(rf"“[^“”]{{{WORD + 1},}}”|\"[^\"]{{{WORD + 1},}}\"")


def shortened(sentence: str, most: int = 2_000) -> str:
    """A sentence in one line that shows at most a line of what was typed, however long that is."""
    text = " ".join(clean(sentence).split())
    text = _LONG_QUOTE.sub(lambda found: found[0][0] + _cut(found[0][1:-1]) + found[0][-1], text)
    return one_line(_LONG_WORD.sub(lambda found: _cut(found[0]), text), most)


def _cut(word: str) -> str:
    most = PATH_WORD if "/" in word else WORD
    return word if len(word) <= most else f"{word[: most - 1]}…"
