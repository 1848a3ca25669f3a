"""Commands that are told figures: a negative one is a figure to refuse, not a misspelled option."""

from __future__ import annotations

import re
from itertools import pairwise

import click

_NEGATIVE = re.compile(r"^-(?=\s?[0-9.,])")


class FigureCommand(click.Command):
    """Takes `-5 N·m` for a figure, so that the sentence about it comes from its reader."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Reads the words of the command line; a hyphen before a digit begins no option."""
        with_value = {
            name
            for option in self.params
            if isinstance(option, click.Option) and not option.is_flag
            for name in option.opts
        }
        words = [
            word if before in with_value else _NEGATIVE.sub("−", word)
            for before, word in pairwise(["", *args])
        ]
        return super().parse_args(ctx, words)
