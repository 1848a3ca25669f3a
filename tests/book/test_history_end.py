"""The end mark says how far the history went, whatever stood in its place before."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book.history_end import END_FILE, HistoryEnd


@pytest.mark.parametrize("before", [None, b"", b"rubbish", b"x" * 4_000, b"7" * 30])
def test_it_says_the_last_number_written(tmp_path: Path, before: bytes | None) -> None:
    """It is written over where it stands, so nothing of what was longer may remain."""
    end = HistoryEnd(tmp_path)
    if before is not None:
        end.path.write_bytes(before)
    assert end.read() == 0
    for number in (1, 12_345, 7):
        end.write(number)
        assert end.read() == HistoryEnd(tmp_path).read() == number
    fresh = HistoryEnd(tmp_path / "fresh")
    fresh.path.parent.mkdir()
    fresh.write(7)
    assert fresh.path.read_bytes() == end.path.read_bytes()


def test_it_is_never_empty_meanwhile(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A program that ends in the middle of it leaves the mark of the change before."""
    end = HistoryEnd(tmp_path)
    end.write(3)
    opened = end._opened

    def ended() -> object:
        opened().close()
        raise KeyboardInterrupt

    monkeypatch.setattr(end, "_opened", ended)
    with pytest.raises(KeyboardInterrupt):
        end.write(4)
    assert end.read() == 3


def test_a_disk_that_refuses_it_costs_only_the_mark(tmp_path: Path) -> None:
    """The change itself is saved: what stands in its place can be no mark."""
    (tmp_path / END_FILE).mkdir()
    end = HistoryEnd(tmp_path)
    end.write(3)
    assert end.read() == 0
