"""Long words are broken between syllables with a hyphen, or at a hyphen that is typed."""

from labels.face.fonts import Style
from labels.face.hyphens import HYPHEN, breaks
from labels.face.text import text_width, wrap

STYLE = Style(30)


def lines_of(text: str, room: int) -> list[str]:
    lines, rest = [], text
    while rest:
        line, rest = wrap(rest, room, STYLE)
        lines.append(line)
    return lines


def test_a_word_longer_than_the_line_gets_a_hyphen() -> None:
    lines = lines_of("Kickstartergetriebe", 180)
    assert lines[0] == f"Kickstarter{HYPHEN}"
    assert all(line.endswith(HYPHEN) for line in lines[:-1])
    assert "".join(lines).replace(HYPHEN, "") == "Kickstartergetriebe"
    assert all(text_width(line, STYLE) <= 180 for line in lines)


def test_a_typed_hyphen_is_a_place_to_break_and_gets_no_second_one() -> None:
    lines = lines_of("accelerator-pump-diaphragm", 260)
    assert lines[0] in ("accelerator-", "accelerator-pump-")
    assert "".join(lines).replace(HYPHEN, "") == "accelerator-pump-diaphragm"


def test_a_short_word_is_never_broken_and_figures_never() -> None:
    assert breaks("cover") == []
    assert breaks("1234567890") == []


def test_a_word_that_fits_the_next_line_goes_there_whole() -> None:
    assert wrap("Crankcase gasket", 160, STYLE)[0] == "Crankcase"
