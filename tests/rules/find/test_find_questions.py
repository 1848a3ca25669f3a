"""Questions as people ask them months later, over one book: the right part first.

The book and the questions were written for these tests (common practice, no source). Asked are the
British and American word for one part, what a thing is before what it belongs to, properties of its
fasteners (hand, spanner, size), the tin or shelf it lies in, slips, whole sentences.
"""

from __future__ import annotations

import pytest

from tagbench.records import Bin, Part, replace
from tagbench.rules.find.index import Index, nothing_fits_all
from tagbench.trade.fasteners.text import parse_fasteners
from tests.every import every
from tests.rules.making import bin_code, part, tables

SHELF, TIN, TRAY, JAR = (bin_code(number) for number in (1, 2, 3, 4))
BINS = (
    Bin(code=SHELF, name="Top shelf", kind="shelf"),
    Bin(code=TIN, name="Tobacco tin", kind="tin", kept_in=SHELF),
    Bin(code=TRAY, name="Blue tray", kind="tray"),
    Bin(code=JAR, name="Jam jar", kind="jar", kept_in=SHELF),
)
ENGINE, FRONT, REAR, FRAME = "Engine", "Front wheel", "Rear wheel", "Frame"
_ROWS: tuple[tuple[str, str, str, str, str], ...] = (
    # name, assembly, position, fasteners, bin
    ("drive chain", REAR, "", "", ""),
    ("chain guard", REAR, "", "2x M6x12 hex", ""),
    ("chain adjuster", REAR, "left", "M8x40 hex; M8 nut", ""),
    ("flywheel", ENGINE, "", "M12x1.25 LH nut", ""),
    ("flywheel cover", ENGINE, "left", "3x M5x16 pan", TRAY),
    ("alternator stator", ENGINE, "", "3x M4x25 pan", TIN),
    ("top yoke", "Steering", "", "M22x1 nut", ""),
    ("handlebar", "Steering", "", "4x M8x30 socket", ""),
    ("handlebar grip", "Steering", "left", "", ""),
    ("prop stand", FRAME, "left", "M10x45 hex + nyloc nut", ""),
    ("prop stand spring", FRAME, "", "", JAR),
    ("centre stand", FRAME, "", "", ""),
    ("mudguard", FRONT, "", "4x M6x16 hex", ""),
    ("mudguard stay", FRONT, "right", "2x M6x12 hex", ""),
    ("gudgeon pin", ENGINE, "", "2x circlip 14", TIN),
    ("piston", ENGINE, "", "", ""),
    ("piston ring", ENGINE, "", "", TIN),
    ("cylinder head", ENGINE, "", "4x M8x1.25 nut", ""),
    ("cylinder head gasket", ENGINE, "", "", ""),
    ("cylinder", ENGINE, "", "", ""),
    ("crankshaft", ENGINE, "", "", ""),
    ("crankcase half", ENGINE, "left", "9x M6x45 hex", ""),
    ("clutch cable", "Controls", "", "", ""),
    ("clutch lever", "Controls", "left", "M6x25 hex", ""),
    ("clutch plate", ENGINE, "", "", ""),
    ("clutch cover", ENGINE, "right", "7x M6x30 cheese", TRAY),
    ("clutch hub nut", ENGINE, "", "M14x1 LH nut", ""),
    ("spark plug", ENGINE, "", "spark plug M14x1.25", TIN),
    ("spark plug cap", ENGINE, "", "", ""),
    ("petrol tank", FRAME, "", "2x M8x35 hex", ""),
    ("petrol tap", "Fuel", "", "M16x1 nut", JAR),
    ("petrol cap", "Fuel", "", "", ""),
    ("silencer", "Exhaust", "", "M8x25 hex", ""),
    ("exhaust gasket", "Exhaust", "", "", TIN),
    ("front wheel spindle", FRONT, "", "castle nut M12x1.25 + cotter pin", ""),
    ("rear wheel spindle", REAR, "", "castle nut M14x1.5 + cotter pin", ""),
    ("wheel rim", FRONT, "", "", ""),
    ("wheel bearing", FRONT, "right", "", JAR),
    ("brake shoe", "Front wheel / Brake", "left", "", ""),
    ("brake shoe", "Rear wheel / Brake", "left", "", ""),
    ("brake pedal", "Controls", "right", "M8x20 hex", ""),
    ("brake cable", "Controls", "", "", ""),
    ("speedometer", "Instruments", "", "2x M5 nut", TRAY),
    ("speedometer cable", "Instruments", "", "", ""),
    ("indicator", "Electrics", "left", "M8 nut", ""),
    ("headlamp", "Electrics", "", "2x M8x16 hex", ""),
    ("headlamp rim", "Electrics", "", "M4x10 pan", ""),
    ("tail lamp", "Electrics", "", "", ""),
    ("earth lead", "Electrics", "", "", ""),
    ("air cleaner", "Fuel", "", "", ""),
    ("air cleaner element", "Fuel", "", "", ""),
    ("carburettor", "Fuel", "", "2x M6x25 stud", ""),
    ("carburettor float", "Fuel", "", "", TIN),
    ("float bowl", "Fuel", "", "4x M4x12 pan", ""),
    ("main jet", "Fuel", "", "", TIN),
    ("gearbox sprocket", ENGINE, "", "M18x1.5 nut + tab washer", ""),
    ("kick start lever", ENGINE, "right", "M8x30 hex", ""),
    ("gear lever", ENGINE, "left", "M6x25 hex", ""),
    ("oil seal", ENGINE, "left", "oil seal 20x35x7", JAR),
    ("number plate", FRAME, "", "2x M5x12 pan", ""),
    ("seat", FRAME, "", "", ""),
    ("seat bolt", FRAME, "", "2x M10x60 hex", JAR),
    ("footrest", FRAME, "right", "M10x1.25x30 hex", ""),
    ("engine bolt", FRAME, "", "3x M10x110 hex", JAR),
    ("shock absorber", REAR, "left", "", ""),
    ("swinging arm", REAR, "", "", ""),
    ("contact breaker", ENGINE, "", "2x M4x8 pan", TIN),
    ("condenser", ENGINE, "", "", TIN),
    ("ignition coil", "Electrics", "", "", ""),
    ("rivet tin label", FRAME, "", "4x 2.5 mm drive screw", ""),
    ("nameplate", FRAME, "", "", TRAY),
    ("brake shoe springs", "Front wheel / Brake", "", "", ""),
    ("gear cluster", ENGINE, "", "", ""),
    ("clutch basket", ENGINE, "", "castle nut M12", ""),
    ("steering head balls", "Steering", "", "", JAR),
    ("tailboard", "Body", "", "2x hinge pin", ""),
)
PARTS: tuple[Part, ...] = tuple(
    replace(
        part(number, name, assembly=assembly, position=position, bin=kept),
        fasteners=parse_fasteners(fasteners),
    )
    for number, (name, assembly, position, fasteners, kept) in enumerate(_ROWS, 1)
)
INDEX = Index(tables(*PARTS, bins=BINS))

#: What is asked, the name of the part that is meant, and its assembly where there are two.
QUESTIONS: tuple[tuple[str, str], ...] = (
    ("chain", "drive chain"),
    ("flywheel", "flywheel"),
    ("flywheel cover", "flywheel cover"),
    ("cover flywheel", "flywheel cover"),
    ("clutch", "clutch plate"),
    ("piston", "piston"),
    ("cylinder", "cylinder"),
    ("head gasket", "cylinder head gasket"),
    ("mudguard", "mudguard"),
    ("handlebar", "handlebar"),
    ("speedometer", "speedometer"),
    ("carb", "carburettor"),
    ("headlamp", "headlamp"),
    ("air cleaner", "air cleaner"),
    ("spark plug", "spark plug"),
    ("rim", "wheel rim"),
    ("seat", "seat"),
    # British and American
    ("stator", "alternator stator"),
    ("generator stator", "alternator stator"),
    ("triple clamp", "top yoke"),
    ("upper triple tree", "top yoke"),
    ("bars", "handlebar"),
    ("sidestand", "prop stand"),
    ("side stand", "prop stand"),
    ("kickstand", "prop stand"),
    ("side stand spring", "prop stand spring"),
    ("main stand", "centre stand"),
    ("center stand", "centre stand"),
    ("fender", "mudguard"),
    ("fender brace", "mudguard stay"),
    ("wrist pin", "gudgeon pin"),
    ("gas tank", "petrol tank"),
    ("petcock", "petrol tap"),
    ("gas cap", "petrol cap"),
    ("muffler", "silencer"),
    ("front axle", "front wheel spindle"),
    ("speedo", "speedometer"),
    ("turn signal", "indicator"),
    ("blinker", "indicator"),
    ("headlight", "headlamp"),
    ("taillight", "tail lamp"),
    ("ground wire", "earth lead"),
    ("air filter", "air cleaner"),
    ("carburetor", "carburettor"),
    ("countershaft sprocket", "gearbox sprocket"),
    ("kick starter lever", "kick start lever"),
    ("shift lever", "gear lever"),
    ("gear change lever", "gear lever"),
    ("license plate", "number plate"),
    ("saddle", "seat"),
    ("footpeg", "footrest"),
    ("shock", "shock absorber"),
    ("damper", "shock absorber"),
    ("swingarm", "swinging arm"),
    ("points", "contact breaker"),
    ("breaker points", "contact breaker"),
    ("capacitor", "condenser"),
    ("crank", "crankshaft"),
    ("plug cap", "spark plug cap"),
    ("serial plate", "nameplate"),
    ("pull off springs", "brake shoe springs"),
    ("gear train", "gear cluster"),
    ("clutch bell", "clutch basket"),
    ("steering bearings", "steering head balls"),
    ("tailgate", "tailboard"),
    ("crank seal", "oil seal"),
    # properties
    ("left hand thread", "flywheel"),
    ("left-hand thread clutch", "clutch hub nut"),
    ("LH thread M14", "clutch hub nut"),
    ("7 screws M6", "clutch cover"),
    ("9 bolts crankcase", "crankcase half"),
    ("M10x110", "engine bolt"),
    ("M6x45", "crankcase half"),
    ("M14x1.25", "spark plug"),
    ("M10x1.25", "footrest"),
    ("M18x1.5", "gearbox sprocket"),
    ("20x35x7", "oil seal"),
    ("castle nut M14", "rear wheel spindle"),
    ("split pin front wheel", "front wheel spindle"),
    ("tab washer", "gearbox sprocket"),
    ("drive screw", "rivet tin label"),
    ("nyloc", "prop stand"),
    # tins and shelves
    ("jar seal", "oil seal"),
    ("float tobacco tin", "carburettor float"),
    ("blue tray speedo", "speedometer"),
    ("tray clutch", "clutch cover"),
    ("jam jar bearing", "wheel bearing"),
    # sides, slips, whole sentences
    ("rear brake shoe", "brake shoe|Rear wheel / Brake"),
    ("front brake shoe", "brake shoe|Front wheel / Brake"),
    ("where is the mudgaurd", "mudguard"),
    ("whre did i put the gudgon pin", "gudgeon pin"),
    ("carburretor flaot", "carburettor float"),
    ("bolts for the seat", "seat bolt"),
    ("that spring off the prop stand", "prop stand spring"),
    ("crankase", "crankcase half"),
    ("exaust gasket", "exhaust gasket"),
    ("clutch leaver", "clutch lever"),
)


def _is_first(words: str, meant: str) -> bool:
    found = INDEX.find(words)
    name, _, assembly = meant.partition("|")
    return bool(found) and (
        found[0].part.name == name and found[0].part.assembly.startswith(assembly)
    )


def _first(words: str) -> str:
    found = INDEX.find(words)
    return found[0].part.name if found else "nothing"


def test_the_right_part_comes_first() -> None:
    """At least 95 of 100 questions; each miss is told with what came first."""
    missed = {words: _first(words) for words, meant in QUESTIONS if not _is_first(words, meant)}
    print(f"\n{len(QUESTIONS) - len(missed)} of {len(QUESTIONS)} first right; missed: {missed}")
    assert len(QUESTIONS) >= 60
    assert len(missed) <= 0.05 * len(QUESTIONS), missed


@pytest.mark.parametrize(
    ("words", "not_found"),
    [
        ("M6x4", "M6x45"),
        ("M10x11", "M10x110"),
        ("M1", "M10x110"),
        ("20x35", "M22x1"),
        ("5x7", "20x35x7"),
    ],
)
def test_a_size_is_not_found_inside_another(words: str, not_found: str) -> None:
    """A size that is typed whole and is not in the book finds no longer one."""
    for found in INDEX.find(words, 3):
        typed = " ".join(line.typed for line in found.part.fasteners)
        assert not_found not in typed, (found.part.name, found.why)


def test_a_13_mm_spanner_finds_m8_heads() -> None:
    """ISO 4014 and the older DIN: M8 has 13 mm across flats; nothing else in this book has."""
    names = [found.part.name for found in INDEX.find("13 mm spanner", 4)]
    m8 = {each.name for each in PARTS if any(line.thread == "M8x1.25" for line in each.fasteners)}
    assert names
    assert set(names) <= m8


def test_all_in_a_tin_are_found_by_the_tin() -> None:
    in_tin = {each.name for each in PARTS if each.bin == TIN}
    assert {found.part.name for found in INDEX.find("tobacco tin", len(in_tin))} == in_tin
    on_shelf = {each.name for each in PARTS if each.bin in (TIN, JAR)}
    assert {found.part.name for found in INDEX.find("top shelf", len(on_shelf))} <= on_shelf


@pytest.mark.parametrize("words", ["four bakcing plate screws", "purple chain", "chain unicorn"])
def test_answers_that_fit_only_in_part_are_told_to(words: str) -> None:
    """None of these parts is in the book; what is shown instead is not passed off as it."""
    found = INDEX.find(words)
    assert found
    assert nothing_fits_all(found, words) == f"Nothing fits all of “{words}”"


@every(QUESTIONS)
def test_an_answer_that_fits_is_not_doubted(asked: tuple[str, ...]) -> None:
    """All questions but the one in which a word stands (whre) that nobody knows."""
    if "whre" not in asked[0]:
        assert nothing_fits_all(INDEX.find(asked[0]), asked[0]) == ""
    for code in ("TP-017-7", "TP-17", "17", ""):
        assert nothing_fits_all(INDEX.find(code), code) == ""
