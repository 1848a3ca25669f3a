"""Notes in German, French, Spanish and Italian as natives scribble them.

All of it is common practice, no source.
"""

from __future__ import annotations

import pytest

from tagbench.trade.fasteners.abroad import in_full, languages
from tagbench.trade.fasteners.counts.spoken_abroad import counts_abroad
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.published import read_table


@pytest.mark.parametrize(
    ("note", "spoken"),
    [
        ("4 Schrauben M6 Deckel", {"de"}),
        ("4 vis M6 culasse", {"fr"}),
        ("2 tuercas M8 culata", {"es"}),
        ("2 dadi M8 testata", {"it"}),
        ("coppiglia perno ruota", {"it"}),
        ("4 bolts M6 clutch cover", set()),
        ("M6x20 x4", set()),
    ],
)
def test_a_note_is_of_the_language_of_most_of_its_words(note: str, spoken: set[str]) -> None:
    """Words that English has too tell nothing: clips, support."""
    assert languages(note) == spoken


@pytest.mark.parametrize(
    ("note", "full"),
    [
        ("2 Muttern M8 m. Scheibe v. Fußraste", "2 Muttern M8 mit Scheibe von Fußraste"),
        ("Bremstrommel v. li.", "Bremstrommel vorn links"),
        ("2x M8x40 Schwinge je m. 2 Scheiben", "2x M8x40 Schwinge mit je 2 Scheiben"),
        ("une vis un peu longue", "une vis peu longue"),
        ("Bremsbelag-Nieten 4x8", "Bremsbelag Nieten 4x8"),
        ("8er Unterlegscheiben", "M8 Unterlegscheiben"),
        ("tornillo c/ arandela", "tornillo con arandela"),
        ("copiglia perno ruota post.", "copiglia perno ruota posteriore"),
        ("goupille axe AR", "goupille axe arrière"),
        ("rondelle cuivre d.12", "rondelle cuivre Ø12"),
        ("écrou M12x125", "écrou M12x1.25"),
        ("vis M12x125", "vis M12x125"),
        ("OR 18x2 pompa olio", "O-ring 18x2 pompa olio"),
        ("Kugellager, je 1 li u. re", "Kugellager, x2 (links und rechts)"),
        ("Stehbolzen M7, alle 4 noch gut", "Stehbolzen M7, x4 noch gut"),
        (
            "4 bolts M6 post. m. v. re. av. c/ d.12 8er",
            "4 bolts M6 post. m. v. re. av. c/ d.12 8er",
        ),
        ("M6 bolt + rivet-nuts, OR 18x2", "M6 bolt + rivet-nuts, OR 18x2"),
    ],
)
def test_what_is_short_is_written_out_in_its_own_language(note: str, full: str) -> None:
    """A note in English stays as it is, whatever stands in it; a screw of 125 mm is no fine one."""
    assert in_full(note) == full


def test_what_is_written_out_is_short_for_nothing_else_in_its_language() -> None:
    """Each short word stands once in a language, and what it is in full is no short word."""
    rows = read_table("short_words_abroad")
    short = [(row["words"].lower(), row["language"]) for row in rows]
    assert len(short) == len(set(short))
    assert not {(row["full"].lower(), row["language"]) for row in rows} & set(short)


@pytest.mark.parametrize(
    ("typed", "plain"),
    [
        ("une demi-douzaine de vis", "6 off vis"),
        ("media docena de tuercas", "6 off tuercas"),
        ("zwei Dutzend Scheiben", "24 off Scheiben"),
        ("due paia di dadi", "4 off dadi"),
        ("une dizaine de vis", "10 “une dizaine” vis"),
        ("una ventina di rivetti", "20 “una ventina” rivetti"),
        ("un puñado de tuercas", "“un puñado” tuercas"),
        ("ein paar Muttern", "“ein paar” Muttern"),
        ("ein Paar Muttern", "ein Paar Muttern"),
        ("a dozen bolts", "a dozen bolts"),
    ],
)
def test_counts_in_words(typed: str, plain: str) -> None:
    """A dozen is twelve, about ten is ten with its words kept, a handful is counted by nobody."""
    assert counts_abroad(typed) == plain


@pytest.mark.parametrize(
    "note",
    ["eine Handvoll Scheiben M8", "ein paar Federringe M6", "quelques vis M5", "qualche vite M5",
     "varios tornillos M6", "viti a brugola M6x20", "copiglie 2x20", "circlips 14 mm shaft"],
)  # fmt: skip
def test_several_that_nobody_counted_are_asked(note: str) -> None:
    """Not booked as one of them without a word."""
    (asked,) = read_fasteners(note).asks
    assert all(option.meaning.startswith("count:") for option in asked.options)


@pytest.mark.parametrize(
    ("words", "note", "several"),
    [
        ("viti a brugola", "", True),
        ("roulement à billes", "", False),
        ("roulements à billes", "", True),
        ("pasador de aletas", "", False),
        ("rondelle cuivre", "", False),
        ("rondelle elastiche", "", True),
        ("rondelle", "rondelle carter embrayage", False),
        ("rondelle", "rondelle coperchio frizione", True),
        ("Federringe", "", True),
        ("Stehbolzen", "", False),
        ("circlips", "circlips d'axe de piston", False),
        ("circlips", "circlips gudgeon pin", True),
    ],
)
def test_a_plural_is_told_by_its_noun(words: str, note: str, several: bool) -> None:
    """The first word of French, Spanish and Italian, the last of German and English."""
    assert is_plural(words, note) is several


@pytest.mark.parametrize(
    "note",
    ["faltan dos tornillos de la tapa", "il manque une vis au carter", "es fehlt eine Scheibe",
     "zwei Muttern fehlen", "manca la copiglia", "am Deckel fehlen 2 Schrauben M5",
     "war kein Splint drin!", "no había pasador", "non c'era la rondella",
     "y avait pas de rondelle dessous"],
)  # fmt: skip
def test_what_is_missing_is_not_written_down_as_present(note: str) -> None:
    """It goes to the note of the part."""
    reading = read_fasteners(note)
    assert (reading.lines, reading.none) == ((), (note,))


@pytest.mark.parametrize(
    ("note", "many"),
    [
        ("4 Schrauben M6, eine fehlt", 4),
        ("3 tornillos M6, falta uno", 3),
        ("4 vis M6x25 carter, il en manque une", 4),
        ("2 dadi M8, ne manca uno", 2),
        ("3 espárragos M8, 1 pasado de rosca", 3),
        ("3 goujons M8 culasse, le 4e cassé dans le carter", 3),
    ],
)
def test_some_that_are_missing_or_broken_are_no_further_ones(note: str, many: int) -> None:
    (line,) = read_fasteners(note).lines
    assert line.quantity == many
    assert line.words


def test_a_fascetta_is_told_by_what_it_holds() -> None:
    """A hose clip on a hose, a cable tie on wires; alone it is asked."""
    kinds = {
        note: read_fasteners(note).lines[0].kind
        for note in ("fascetta tubo benzina", "2 fascette cablaggio", "fascetta")
    }
    assert list(kinds.values()) == ["hose clip", "cable tie", "clip"]
    (asked,) = read_fasteners("fascetta").asks
    assert [option.says for option in asked.options] == ["hose clip", "cable tie"]
    (line,) = read_fasteners("fascetta", {"fascetta": "kind:hose clip"}).lines
    assert (line.kind, line.typed) == ("hose clip", "fascetta")


def test_so_many_for_each_in_german() -> None:
    """`je 2` before washers counts them for each screw."""
    screws, nuts, washers = read_fasteners("2x M8x75 m. Stoppmutter u. je 2 U-Scheiben").lines
    assert (screws.quantity, nuts.quantity, washers.quantity) == (2, 2, 4)


@pytest.mark.parametrize(
    ("note", "thread"),
    [
        ("écrou M16 pas 150", "M16x1.5"),
        ("tuerca M12 paso 125", "M12x1.25"),
        ("dado M10 passo 100", "M10x1"),
        ("Mutter M14 Steigung 1,5", "M14x1.5"),
    ],
)
def test_a_pitch_in_words(note: str, thread: str) -> None:
    (line,) = read_fasteners(note).lines
    assert line.thread == thread


def test_parts_are_named_by_their_last_word_in_german() -> None:
    """A Kupplungsausrückhebel is a lever; so are parts behind d' and dell'."""
    for note, place in (
        ("2 Schrauben M5 Kupplungsausrückhebel", "Kupplungsausrückhebel"),
        ("2 Schrauben M5 Luefterabdeckung", "Luefterabdeckung"),
        ("2 ressorts d'embrayage", "d'embrayage"),
    ):
        (line,) = read_fasteners(note).lines
        assert (line.place, line.words) == (place, "")
