"""What a terminal answers when it is asked what it draws.

Primary device attributes: DEC STD 070; 4 is sixel graphics. The kitty protocol answers a query
with `OK` under the number that was asked (its published description, “Querying support”).
"""

from __future__ import annotations

import pytest

from tagbench.screens.frame.graphics import can_draw_fine, picture_widget, protocol_of

KITTY = "\x1b_Gi=1967;OK\x1b\\"


@pytest.mark.parametrize(
    ("answer", "protocol"),
    [
        ("\x1b[?62;4;22c", "sixel"),
        ("\x1b[?64;14;22c", ""),
        (f"{KITTY}\x1b[?62;22c", "kitty"),
        (f"{KITTY}\x1b[?62;4c", "sixel"),
        ("\x1b_Gi=1967;ENOTSUPPORTED:no\x1b\\\x1b[?62c", ""),
        ("\x1b_Gi=1;OK\x1b\\\x1b[?62c", ""),
        ("", ""),
    ],
)
def test_which_protocol_an_answer_speaks_of(answer: str, protocol: str) -> None:
    """Sixel before kitty; half blocks where neither is told."""
    assert protocol_of(answer) == protocol


def test_a_terminal_that_was_not_asked_gets_half_blocks() -> None:
    """And the library that draws is kept from asking while the app reads the keys."""
    from textual_image import _terminal

    assert not can_draw_fine()
    assert picture_widget().__name__ == "HalfcellImage"
    with pytest.raises(_terminal.TerminalError), _terminal.capture_terminal_response("a", "b"):
        raise AssertionError("it would ask")
