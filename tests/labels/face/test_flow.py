"""Setting words: shrink, then wrap, then cut, and nothing is lost unsaid."""

from hypothesis import given, settings, strategies as st

from labels.face.flow import Flow, Obstacle, PlacedLine, Words, bare
from labels.face.fonts import ASCENT, DESCENT, Style
from labels.face.hyphens import HYPHEN
from labels.face.text import cut, text_width, wrap
from labels.stock.sizing import Area
from tests.examples import examples

AREA = Area(20, 20, 620, 400)
BESIDE = Obstacle(240, 200)
SMALLEST = 20


def set_words(*words: Words, area: Area = AREA) -> tuple[tuple[PlacedLine, ...], list[str]]:
    setting = Flow(area, BESIDE, SMALLEST).set_words(words, area.top)
    return setting.lines, [item.name for item in setting.cuts]


def joined(lines: tuple[PlacedLine, ...], name: str) -> str:
    return " ".join(line.text for line in lines if line.name == name)


def test_short_words_stand_on_one_line_at_more_than_their_size() -> None:
    lines, cuts = set_words(Words("name", "Cam", 40))
    assert [line.text for line in lines] == ["Cam"]
    assert lines[0].style.size > 40
    assert cuts == []


def test_long_words_shrink_before_they_wrap() -> None:
    narrow = "Backing plate screws, 4 in all"
    low = Area(AREA.left, AREA.top, AREA.right, AREA.top + 60)
    lines, cuts = set_words(Words("name", narrow, 34), area=low)
    assert [line.text for line in lines] == [narrow]
    assert lines[0].style.width < 100 or lines[0].style.size < 34
    assert cuts == []


def test_longer_words_wrap_whole() -> None:
    text = "Kick start return spring with its long bent anchor pin and the brass bush"
    lines, cuts = set_words(Words("name", text, 50))
    assert len(lines) > 1
    assert joined(lines, "name") == text
    assert cuts == []


def test_too_many_words_are_cut_with_an_ellipsis_and_reported() -> None:
    text = "word " * 150
    lines, cuts = set_words(Words("name", text.strip(), 40, most_lines=3), Words("from", "Hub", 40))
    assert cuts == ["name"]
    assert joined(lines, "name").endswith("…")
    assert joined(lines, "from") == "Hub"


def test_what_found_no_room_at_all_is_reported_with_nothing_printed() -> None:
    words = [Words(f"line {at}", f"text {at}", 40) for at in range(60)]
    setting = Flow(AREA, BESIDE, SMALLEST).set_words(words, AREA.top)
    printed = {line.name for line in setting.lines}
    lost = {item.name for item in setting.cuts if not item.printed}
    assert lost
    assert printed | lost == {word.name for word in words}
    assert not printed & lost


def test_lines_beside_the_symbol_start_right_of_it_and_lines_below_at_the_edge() -> None:
    lines, _ = set_words(*(Words(f"{at}", f"line {at} of it", 30) for at in range(9)))
    for line in lines:
        top = line.baseline - round(ASCENT * line.style.size)
        assert line.x == (BESIDE.right if top < BESIDE.bottom else AREA.left)
    assert {line.x for line in lines} == {BESIDE.right, AREA.left}


@given(
    st.lists(st.text("aeinort MW0159/-,Åß", max_size=90), min_size=1, max_size=7),
    st.integers(120, 700),
    st.integers(60, 500),
)
@settings(max_examples=examples(60), deadline=None)
def test_words_stay_in_their_room_and_are_whole_or_reported(
    texts: list[str], width: int, height: int
) -> None:
    area = Area(10, 10, 10 + width, 10 + height)
    obstacle = Obstacle(10 + width // 3, 10 + height // 2)
    words = [
        Words(f"{at}", " ".join(text.split()), 36) for at, text in enumerate(texts) if text.split()
    ]
    setting = Flow(area, obstacle, SMALLEST).set_words(words, area.top)
    for line in setting.lines:
        assert line.style.size >= SMALLEST
        assert line.baseline + round(DESCENT * line.style.size) <= area.bottom + 1
        assert line.x + text_width(line.text, line.style) <= area.right
    cuts = {item.name for item in setting.cuts}
    for word in words:
        if word.name not in cuts:
            said = "".join(line.text for line in setting.lines if line.name == word.name)
            assert bare(said) == bare(word.text)


@given(st.text("aeinort MW0159/-,", min_size=1, max_size=60), st.integers(30, 400))
@settings(max_examples=examples(60), deadline=None)
def test_wrapping_loses_no_letter(text: str, room: int) -> None:
    style, rest, lines = Style(30), " ".join(text.split()), []
    whole = rest
    while rest:
        line, rest = wrap(rest, room, style)
        assert line
        lines.append(line)
    assert "".join(lines).replace(" ", "").replace(HYPHEN, "") == whole.replace(" ", "")
    assert all(len(line) == 1 or text_width(line, style) <= room for line in lines)


def test_cut_keeps_what_fits_and_ends_with_an_ellipsis() -> None:
    style = Style(30)
    assert cut("short", 500, style) == "short"
    shown = cut("a very long line indeed", 200, style)
    assert shown.endswith("…")
    assert text_width(shown, style) <= 200
    assert cut("anything", 3, style) == ""


def test_words_that_belong_to_those_before_start_under_them_where_they_fit() -> None:
    """Below the symbol too; what does not fit there on one line, or stands for itself, starts at
    the left edge as before."""
    name = Words("name", "Cam", 100)
    lines, _ = set_words(name, Words("from", "Engine", 30, with_last=True), Words("more", "2x", 30))
    starts = {line.name: line.x for line in lines}
    last = next(line for line in lines if line.name == "from")
    assert last.baseline - last.style.size > BESIDE.bottom
    assert starts == {"name": BESIDE.right, "from": BESIDE.right, "more": AREA.left}
    wide = "Engine and gearbox / Carburettor and inlet stub, rear right"
    lines, cuts = set_words(name, Words("from", wide, 30, with_last=True))
    assert next(line.x for line in lines if line.name == "from") == AREA.left
    assert cuts == []
