"""A name stands for one thing over the whole product."""

from __future__ import annotations

import ast
import sys
from collections import defaultdict
from collections.abc import Iterator

from tests.architecture.source import product

CONVENTIONS = {"numpy": "np"}
"""What its own documentation imports under a short name."""


def defined_types(module: ast.Module) -> Iterator[str]:
    """Classes and type aliases of a module, private ones left out.

    A type variable is a letter of the function that it stands in, and so left out too.
    """
    for node in module.body:
        if isinstance(node, ast.ClassDef):
            names = [node.name]
        elif isinstance(node, ast.Assign):
            names = [one.id for one in node.targets if isinstance(one, ast.Name)]
        else:
            continue
        yield from (name for name in names if is_type_name(name) and not is_variable(node))


def is_type_name(name: str) -> bool:
    """Whether it is written as types are: a capital first, and not a constant."""
    return name[0].isupper() and not name.isupper()


def is_variable(node: ast.stmt) -> bool:
    """Whether a type variable is made there."""
    return (
        isinstance(node, ast.Assign)
        and isinstance(node.value, ast.Call)
        and ast.unparse(node.value.func) in ("TypeVar", "ParamSpec")
    )


def test_no_type_is_defined_twice() -> None:
    """`Row` in five modules would be five things to be told apart by their imports."""
    where: dict[str, list[str]] = defaultdict(list)
    for path, module in product().items():
        for name in defined_types(module):
            where[name].append(path)
    assert {name: paths for name, paths in where.items() if len(paths) > 1} == {}


def test_no_type_hides_one_of_the_standard_library() -> None:
    """A `Path` of one's own would be taken for that of the file system."""
    imported = {
        alias.name
        for module in product().values()
        for node in ast.walk(module)
        if isinstance(node, ast.ImportFrom)
        and (node.module or "").partition(".")[0] in sys.stdlib_module_names
        for alias in node.names
    }
    own = {
        (path, name)
        for path, module in product().items()
        for name in defined_types(module)
        if name in imported
    }
    assert own == set()


def test_nothing_is_imported_under_another_name() -> None:
    """Two things that need it are one name too few."""
    renamed = [
        (path, alias.name)
        for path, module in product().items()
        for node in ast.walk(module)
        if isinstance(node, (ast.Import, ast.ImportFrom))
        for alias in node.names
        if alias.asname not in (None, alias.name, CONVENTIONS.get(alias.name))
    ]
    assert renamed == []
