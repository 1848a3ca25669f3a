"""The source of the product, parsed once for the tests that ask how it is built."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]


@cache
def product() -> dict[str, ast.Module]:
    """Path from the root → the parsed module, of all modules of the product."""
    files = (file for top in ("tagbench", "labels") for file in (ROOT / top).rglob("*.py"))
    return {
        file.relative_to(ROOT).as_posix(): ast.parse(file.read_text("utf-8"))
        for file in sorted(files)
    }


@cache
def calls() -> tuple[tuple[str, ast.Call, str], ...]:
    """Every call: the module, the call, and what is called, dots and all."""
    return tuple(_calls())


def _calls() -> Iterator[tuple[str, ast.Call, str]]:
    for path, module in product().items():
        for node in ast.walk(module):
            if isinstance(node, ast.Call):
                yield path, node, ast.unparse(node.func)
