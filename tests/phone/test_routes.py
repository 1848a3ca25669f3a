"""Paths: those of our pages, and nothing else."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from labels.code import read_code
from labels.errors import CodeError
from tagbench.phone.routes import Route, route


@pytest.mark.parametrize(
    ("path", "found"),
    [
        ("/", Route("next")),
        ("", Route("next")),
        ("/find", Route("find")),
        ("/FIND", Route("find")),
        ("/TP-017-7", Route("tag", "TP-017-7")),
        ("/tp-017-7/", Route("tag", "tp-017-7")),
        ("/TP0177", Route("tag", "TP0177")),
        ("/TP-017-7/care", Route("care", "TP-017-7")),
        ("/TP-017-7/fit", Route("fit", "TP-017-7")),
        ("/TP-017-7/short", Route("short", "TP-017-7")),
        ("/TP-017-7/photos", Route("photos", "TP-017-7")),
        ("/TP-017-7/start", Route("start", "TP-017-7")),
        ("/TP-017-7/photo/12", Route("photo", "TP-017-7", "12")),
        ("/pair/abc_-9", Route("pair", item="abc_-9")),
        ("/PAIR/ABC234", Route("pair", item="ABC234")),
    ],
)
def test_a_path_of_ours(path: str, found: Route) -> None:
    assert route(path) == found


@pytest.mark.parametrize(
    "path",
    [
        "/..",
        "/../etc/passwd",
        "/TP-017-7/photo/../../book.json",
        "/TP-017-7/photo/-1",
        "/TP-017-7/photo/1.jpg",
        "/TP-017-7/photo/99999",
        "/TP-017-7/drop",
        "/photos/TP-017-7-1.jpg",
        "/a\0b",
        "/a\nb",
        "/a%2fb",
        "/\\..\\book.json",
        "/pair/" + "x" * 65,
        "/" + "x" * 61,
        "/a/b/c/d",
    ],
)
def test_a_path_that_is_none_of_ours(path: str) -> None:
    assert route(path) is None


@pytest.mark.parametrize("path", ["/book.json", "/pair/", "/x"])
def test_any_other_word_is_read_as_a_code_and_then_is_none(path: str) -> None:
    found = route(path)
    assert found == Route("tag", path.strip("/"))
    with pytest.raises(CodeError):
        read_code(found.code)


@given(st.text(max_size=80))
def test_no_path_yields_anything_that_could_leave_a_folder(path: str) -> None:
    found = route(path)
    if found is not None:
        for text in (found.code, found.item):
            assert "/" not in text
            assert "\\" not in text
            assert "\0" not in text
            assert not text.startswith(".")
