"""Writing settings down and measuring them, in any unit that fits.

3/8–3/4 in is common practice, no source.
"""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations.settings import (
    SettingForm,
    add_setting,
    edit_setting,
    measure,
    remove_setting,
)
from tagbench.errors import BadInput, NotFound
from tests.book.conftest import strip


@pytest.mark.parametrize(
    ("text", "low", "high", "unit"),
    [
        ("3/8-3/4 in", 0.375, 0.75, "in"),
        ("0.3 – 0.4 mm", 0.3, 0.4, "mm"),
        ("12 to 15 thou", 12.0, 15.0, "thou"),
        ("at most 0,1 mm", None, 0.1, "mm"),
        ("min. 2 mm", 2.0, None, "mm"),
        ("25", 25.0, 25.0, "mm"),
        ("10-12 °", 10.0, 12.0, "°"),
        ("", None, None, "mm"),
    ],
)
def test_ranges_as_people_type_them(
    book: Book, text: str, low: float | None, high: float | None, unit: str
) -> None:
    """Kept in the unit in which they were typed, with the text."""
    setting = add_setting(book, SettingForm("play", text))
    assert (setting.low, setting.high, setting.unit) == (low, high, unit)
    assert setting.typed == text


@pytest.mark.parametrize(
    ("typed", "value"), [("12.7 mm", 0.5), ("1/2", 0.5), ('1/2"', 0.5), ("500 thou", 0.5)]
)
def test_values_are_turned_into_the_unit_of_the_range(book: Book, typed: str, value: float) -> None:
    """25.4 mm to the inch, exactly."""
    slack = add_setting(book, SettingForm("chain slack", "3/8-3/4 in"))
    assert measure(book, slack.id, typed).measured == value
    assert book.history()[0].words == "measured chain slack: 0.5 in, inside 3/8-3/4 in"


def test_values_that_do_not_fit_are_refused(book: Book) -> None:
    """A range, a torque for a length, words."""
    slack = add_setting(book, SettingForm("chain slack", "3/8-3/4 in"))
    for text, words in [
        ("10-12 mm", "one measured value"),
        ("8 N·m", "turned into in"),
        ("x", "x"),
    ]:
        with pytest.raises(BadInput, match=words):
            measure(book, slack.id, text)


def test_editing_keeps_the_measured_value_unless_the_unit_changes(book: Book) -> None:
    """A value in inches says nothing in millimetres."""
    slack = add_setting(book, SettingForm("chain slack", "3/8-3/4 in"))
    measure(book, slack.id, "1/2 in")
    wider = edit_setting(book, slack.id, SettingForm("chain slack", "1/4-3/4 in"))
    assert (wider.low, wider.measured) == (0.25, 0.5)
    assert edit_setting(book, slack.id, SettingForm("slack", "9-19 mm")).measured is None


def test_names_numbers_and_parts_are_checked(book: Book) -> None:
    """Each with a sentence."""
    with pytest.raises(BadInput, match="needs a name"):
        add_setting(book, SettingForm("  "))
    with pytest.raises(NotFound, match="TP-099-A"):
        add_setting(book, SettingForm("play", after=("TP-099-A",)))
    with pytest.raises(NotFound, match="no setting number 5"):
        measure(book, 5, "1 mm")


def test_taking_a_setting_away_and_back(book: Book) -> None:
    """Its number is not given out again; undo brings it back."""
    part = strip(book, "wheel")
    one = add_setting(book, SettingForm("chain slack", after=(part.code, part.code)))
    assert one.after == (part.code,)
    remove_setting(book, one.id)
    assert book.records.settings == {}
    book.undo()
    assert book.records.settings[str(one.id)] == one
