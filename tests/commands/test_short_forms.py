"""Every parameter that takes a code takes its short forms, and does the same with them.

The parameters are those for which the shell completes codes, so a new one is in the test as soon as
it is written.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from PIL import Image

from tagbench.cli import run
from tagbench.commands import completion
from tagbench.commands.completion import FromBook
from tests.commands.test_completion_of_values import every_parameter

PART_FORMS = ("TP-2", "tp 2", "tp2", "tp-002", "2")
BIN_FORMS = ("BIN-1", "bin-1")
NAMED_BIN_FORMS = (*BIN_FORMS, "bin 1", "bin1", "1")
"""Where the bin must be there already; elsewhere `Bin 1` may be the name of a new one."""
CALLS = {
    "apart code": "apart {} --parts bolt;nut",
    "away back codes": "away back {}",
    "away pack codes": "away pack {} --to Plating",
    "away pack parts": "away pack --part {} --to Plating",
    "away send codes": "away send {} --to Plating",
    "away sort bag": "away sort 1 {}",
    "backups take": "backups --take {} --from book",
    "bins add kept_in": "bins add Tin --in {}",
    "bins move kept_in": "bins move Drawer --in {}",
    "bins move name": "bins move {} --in Drawer",
    "bins rename name": "bins rename {} Tin",
    "boltcard code": "boltcard {} -o card.pdf",
    "build around": "build --around {}",
    "check take": "check --take {}=this --join other",
    "edit behind": "edit TP-3 --behind {}",
    "edit bin_text": "edit TP-3 --bin {}",
    "edit code": "edit {} --note bent",
    "edit new_bin": "edit TP-3 --new-bin {}",
    "finish codes": "finish {} painted",
    "fit code": "fit {} --anyway --why trial",
    "gasket code": "gasket {}",
    "history code": "history {}",
    "inspect code": "inspect {}",
    "leftover line": "leftover --explain 1 --to {}/1",
    "lost code": "lost {}",
    "make code": "make {} --size 50x40mm --material cork --thickness 1mm",
    "mark codes": "mark {} degreased --with kerosene",
    "number code": "number {} 35-0300",
    "old codes": "old {} gone",
    "photos add code": "photos add {} hub.png",
    "photos describe code": "photos describe {} no.png --caption spring",
    "photos drop code": "photos drop {} no.png",
    "photos list code": "photos list {}",
    "reach code": "reach {}",
    "reading code": "reading {} bore 20.1mm",
    "remove code": "remove {}",
    "report about": "report part {}",
    "scan text_or_image": "scan {}",
    "settings add after": "settings add slack 20-30mm --after {}",
    "show code": "show {}",
    "soak codes": "soak {} --tray one",
    "stack code": "stack {} from~the~nut:~shim~0.3;~washer~1",
    "stays codes": "stays {}",
    "strip behind": "strip cover --behind {}",
    "strip bin_text": "strip cover --bin {}",
    "tags codes": "tags {} -o tags.pdf",
    "together code": "together {}",
    "torque part": "torque --estimate M6 --metal steel --part {}",
    "trace code": "trace no.png --part {}",
    "twin bin_text": "twin TP-2 --new --bin {}",
    "twin code": "twin {}",
    "twin other": "twin TP-3 {}",
    "wants add codes": "wants add felt~seal --for {}",
    "wants edit codes": "wants edit 1 --for {}",
    "wires code": "wires {} 1~BN~lamp",
}
"""Words of a command and the parameter → a call with its code left out; `~` stands for a blank."""
NOT_REACHED = {"check take", "trace code"}
"""Where the picture or the other copy that there is not is missed before the code is looked at."""
NAMED = ("bins move name", "bins rename name")
TAKES_CODES = {
    completion.codes,
    completion.part_codes,
    completion.places,
    completion.taken_back,
    completion.about,
}


def taking_codes() -> list[str]:
    """Every parameter for which the shell completes codes."""
    return sorted(
        f"{words} {param.name}"
        for words, param in every_parameter()
        if isinstance(param.type, FromBook) and param.type.offer in TAKES_CODES
    )


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with three parts, two bins, a want, a left-over and a lost screw."""
    folder = tmp_path_factory.mktemp("short") / "book"
    for call in (
        "machine add Packman --mark TP",
        "strip drum --from Brake --bin Shelf",
        "strip lever --from Engine --position left --fasteners M6x20;M5x10 --bin Drawer",
        "away pack --size M6 --to Plating",
        "strip lever --from Engine --position right",
        "wants add seal",
        "leftover M6x20~bolt",
    ):
        words = [word.replace("~", " ") for word in call.split()]
        assert run(["--book", str(folder), *words]) == 0, call
    return folder


def test_every_parameter_that_takes_codes_is_here() -> None:
    assert sorted(CALLS) == taking_codes()


@pytest.mark.parametrize("parameter", sorted(CALLS))
def test_short_forms_do_the_same(
    written: Path,
    parameter: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The same exit code and the same words, and none is refused for its code."""
    monkeypatch.chdir(tmp_path)
    Image.new("RGB", (64, 48), "orange").save("hub.png")
    bins = any(word in parameter for word in ("bin", "kept_in"))
    shorts = NAMED_BIN_FORMS if parameter in NAMED else BIN_FORMS if bins else PART_FORMS
    code = codes_of(written)["BIN-001" if bins else "TP-002"]
    said = {}
    for at, form in enumerate((code, *shorts)):
        folder = tmp_path / str(at)
        shutil.copytree(written, folder)
        words = [w.replace("{}", form).replace("~", " ") for w in CALLS[parameter].split()]
        exit_code = run(["--book", str(folder), *words])
        out, err = capsys.readouterr()
        said[form] = exit_code, re.sub(re.escape(str(folder)), "", out + err)
    first, *others = said.values()
    assert first[0] == 0 or code in first[1] or parameter in NOT_REACHED, first
    for form, told in zip(shorts, others, strict=True):
        assert told == first, f"{parameter} {form}"


def codes_of(folder: Path) -> dict[str, str]:
    """Codes without their check character → the codes."""
    text = (folder / "history.jsonl").read_text()
    return {code[:-2]: code for code in re.findall(r"\b(?:TP|BIN)-\d{3}-[0-9A-Z]\b", text)}
