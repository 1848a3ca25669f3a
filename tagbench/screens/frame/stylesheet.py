"""A stylesheet that is parsed once, though screens add to it while the app runs.

Textual parses all of it anew for each screen that brings styles of its own: some hundred sheets, a
quarter of a second, the first time that a screen is opened.
"""

from __future__ import annotations

from typing import ClassVar

from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet
from textual.css.types import CSSLocation


class ParsedOnce(Stylesheet):
    """Remembers for each sheet and theme what it says; a theme is the variables of the sheets."""

    _parsed: ClassVar[dict[tuple[object, ...], list[RuleSet]]] = {}
    _times_parsed = 0

    @property
    def edition(self) -> int:
        """Another number whenever the rules may have become others; grows."""
        assert self.rules is not None  # to read them parses what was added
        return self._times_parsed

    def parse(self) -> None:
        super().parse()
        self._times_parsed += 1

    def set_variables(self, variables: dict[str, str]) -> None:
        if variables != self._variables:
            super().set_variables(variables)

    def reparse(self) -> None:
        self.parse()

    def _parse_rules(
        self,
        css: str,
        read_from: CSSLocation,
        is_default_rules: bool = False,
        tie_breaker: int = 0,
        scope: str = "",
    ) -> list[RuleSet]:
        sheet = (css, read_from, is_default_rules, tie_breaker, scope)
        key = (frozenset(self._variables.items()), *sheet)
        if key not in self._parsed:
            self._parsed[key] = super()._parse_rules(*sheet)
        return self._parsed[key]
