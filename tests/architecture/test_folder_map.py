"""The map of folders in DEVELOPERS.md is the tree as it is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import takewhile

from tests.architecture.source import ROOT

_ENTRY = re.compile(r"(?<!\S)(\w+)/(?!\S)")
"""A folder on the map: a word of its own with a slash behind it."""


def mapped() -> Iterator[str]:
    """The folders of the map, as paths from the root."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    _, _, after = text.partition("```\nREADME.md")
    above: list[tuple[int, str]] = []
    for line in takewhile(lambda one: one != "```", after.splitlines()[1:]):
        indent = len(line) - len(line.lstrip())
        above = [(at, path) for at, path in above if at < indent]
        begin = f"{above[-1][1]}/" if above else ""
        found = [begin + name for name in _ENTRY.findall(line)]
        yield from found
        if line.lstrip().startswith(tuple(f"{path.rpartition('/')[2]}/" for path in found)):
            above.append((indent, found[0]))


def folders(top: str) -> set[str]:
    """The folders with something in them, as paths from the root."""
    return {
        file.parent.relative_to(ROOT).as_posix()
        for file in (ROOT / top).rglob("*")
        if file.is_file() and "__pycache__" not in file.parts
    }


def test_every_folder_on_the_map_is_there() -> None:
    """Nothing that has moved or gone is still on it."""
    assert [path for path in mapped() if not (ROOT / path).is_dir()] == []


def test_every_folder_is_on_the_map() -> None:
    """Of the tests those that mirror no folder of the product."""
    product = folders("tagbench") | folders("labels") | folders("demo")
    assert product - set(mapped()) == set()
    mirrored = {path.removeprefix("tagbench/") for path in product}
    own = {path.split("/")[1] for path in folders("tests") if "/" in path}
    assert {f"tests/{name}" for name in own - mirrored} - set(mapped()) == set()
