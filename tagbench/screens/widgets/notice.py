"""The quiet line above the key bar: what was just done, or why it was not."""

from __future__ import annotations

from collections.abc import Iterable

from textual.widgets import Static


class Notice(Static):
    """One sentence. A refusal begins with a mark, so that its colour is not needed."""

    def __init__(self) -> None:
        super().__init__("", markup=False)

    def tell(self, sentence: str) -> None:
        """Says what was done."""
        self._say(sentence, "", wrong=False)

    def refuse(self, sentence: str) -> None:
        """Says why something was not done and what to do instead."""
        self._say(sentence, "✗ ", wrong=True)

    def caution(self, lines: Iterable[str]) -> None:
        """Shows the usual cautions for the work at hand."""
        self._say("\n".join(lines), "! ", wrong=False)
        self.remove_class("-said")
        self.add_class("-caution")

    def clear(self) -> None:
        """Says nothing."""
        self._say("", "", wrong=False)

    def forget_refusal(self) -> None:
        """Takes a refusal away, since what it was about has changed; says nothing else."""
        if self.has_class("-wrong"):
            self.clear()

    @property
    def sentence(self) -> str:
        """What is being said, without the mark."""
        return self._sentence

    _sentence = ""

    def _say(self, sentence: str, mark: str, *, wrong: bool) -> None:
        self._sentence = sentence
        self.remove_class("-caution")
        self.set_class(wrong, "-wrong")
        self.set_class(bool(sentence) and not wrong, "-said")
        self.update(mark + sentence if sentence else "")
