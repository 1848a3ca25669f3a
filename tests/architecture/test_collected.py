"""Every test that is written is run: no folder's name hides it from pytest."""

from __future__ import annotations

from fnmatch import fnmatch

import pytest

from tests.architecture.source import ROOT


def test_no_folder_of_tests_is_passed_over(pytestconfig: pytest.Config) -> None:
    """Pytest does not enter folders of these names: by itself `build` is one of them."""
    passed_over = [
        file
        for file in (ROOT / "tests").rglob("test_*.py")
        for folder in file.relative_to(ROOT).parent.parts
        for name in pytestconfig.getini("norecursedirs")
        if fnmatch(folder, name)
    ]
    assert passed_over == []
