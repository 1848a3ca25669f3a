"""Fasteners of every kind and look laid at random, from straight above to 35 degrees; a line of
how far off they are is printed with `-s`. Two ways of making pictures, one in two looks."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import cv2
import numpy as np
import pytest

from tagbench.measure.lay.laid import MeasuredPiece, Unclear, measure_laid, origin_of
from tagbench.measure.picture import open_picture
from tagbench.measure.rectification import straighten
from tests.measure.laid_scenes import Known, laid_scene, laid_shot
from tests.measure.other_scenes import FINISHES, PLAIN_FINISHES, Finish, photographed
from tests.measure.pieces import Screw, lay_screw
from tests.measure.ray_scenes import MIRRORS, PLAIN, Metal, ray_cast
from tests.measure.scene import Scene, Shot, render

FAR_MM = 12.0


def rendered(
    folder: Path, seed: int, slant: float, megapixels: float = 8
) -> tuple[Path, list[Known]]:
    """A picture and what lies on it."""
    rng = np.random.default_rng(seed)
    scene, known = laid_scene(rng)
    path = folder / f"{seed}-{slant:g}.jpg"
    shot = laid_shot(rng, slant, megapixels)
    cv2.imwrite(str(path), render(scene, shot), [cv2.IMWRITE_JPEG_QUALITY, shot.quality])
    return path, known


def other(
    folder: Path, seed: int, slant: float, looks: tuple[Finish, ...] = FINISHES
) -> tuple[Path, list[Known]]:
    """The same by the other way of making pictures."""
    picture, known, quality = photographed(np.random.default_rng(seed), slant, looks=looks)
    path = folder / f"other-{seed}-{slant:g}.jpg"
    cv2.imwrite(str(path), picture, [cv2.IMWRITE_JPEG_QUALITY, quality])
    return path, known


def plain(folder: Path, seed: int, slant: float) -> tuple[Path, list[Known]]:
    """The other way, of metal that mirrors only the lamps."""
    return other(folder, seed, slant, PLAIN_FINISHES)


def cast(
    folder: Path, seed: int, slant: float, metals: tuple[Metal, ...] = PLAIN
) -> tuple[Path, list[Known]]:
    """A third way: rays cast at dull metal."""
    picture, known, quality = ray_cast(np.random.default_rng(seed), slant, metals=metals)
    path = folder / f"cast-{seed}-{slant:g}.jpg"
    cv2.imwrite(str(path), picture, [cv2.IMWRITE_JPEG_QUALITY, quality])
    return path, known


def cast_mirrors(folder: Path, seed: int, slant: float) -> tuple[Path, list[Known]]:
    """The third way, of metal that mirrors windows, lamps and paper."""
    return cast(folder, seed, slant, MIRRORS)


def level(folder: Path, seed: int, slant: float) -> tuple[Path, list[Known]]:
    """The first way, of screws whose axis lies level although their head is thick."""
    rng = np.random.default_rng(seed)
    scene, known = laid_scene(rng, flat=True)
    path = folder / f"level-{seed}-{slant:g}.jpg"
    shot = laid_shot(rng, slant)
    cv2.imwrite(str(path), render(scene, shot), [cv2.IMWRITE_JPEG_QUALITY, shot.quality])
    return path, known


@dataclass
class Tally:
    """How far readings are off, and what was not measured."""

    total: int = 0
    pointed_out: int = 0
    missed: list[str] = field(default_factory=list)
    invented: int = 0
    lengths: list[float] = field(default_factory=list)
    across: list[float] = field(default_factory=list)
    pitches: list[float] = field(default_factory=list)
    rings: list[float] = field(default_factory=list)
    covered: list[bool] = field(default_factory=list)
    """Of every length and diameter whether it is off by no more than it says."""

    def add(self, path: Path, known: list[Known]) -> None:
        """Measures a picture; each piece that was laid is measured or pointed out."""
        sheet = straighten(open_picture(path))
        laid = measure_laid(sheet)
        (x, y), _ = origin_of(sheet)
        left: list[MeasuredPiece | Unclear] = [*laid.pieces, *laid.unclear]
        self.total += len(known)
        for one in known:
            near = [np.hypot(p.x + x - one.at[0], y - p.y - one.at[1]) for p in left]
            if not near or min(near) > FAR_MM:
                self.missed.append(f"{path.name}: {one}")
                continue
            piece = left.pop(int(np.argmin(near)))
            if isinstance(piece, Unclear):
                self.pointed_out += 1
            else:
                self._compare(piece, one)
        self.invented += sum(isinstance(piece, MeasuredPiece) for piece in left)

    def _compare(self, piece: MeasuredPiece, one: Known) -> None:
        if one.screw is None:
            outside = piece.outside or piece.across_flats or 0.0
            self.rings.append(abs(outside - one.outside))
            self.covered.append(self.rings[-1] <= piece.uncertainty)
            return
        self.lengths.append(abs((piece.length or 0.0) - one.screw.length))
        self.covered.append(self.lengths[-1] <= (piece.length_uncertainty or 0.0))
        if piece.diameter is not None:
            self.across.append(abs(piece.diameter - one.screw.diameter))
            self.covered.append(self.across[-1] <= piece.uncertainty)
        if piece.pitch is not None:
            self.pitches.append(abs(piece.pitch / one.screw.pitch - 1))

    def shares(self, forgiven: int = 0) -> list[float]:
        """Shares of what was measured that are right: lengths, diameters, pitches, rings; and of
        figures that are off by no more than they say. So many wrong of each are forgiven."""
        pairs = (
            (self.lengths, 0.4), (self.across, 0.15), (self.pitches, 0.06), (self.rings, 0.15)
        )  # fmt: skip
        right = [[value <= most for value in values] for values, most in pairs]
        return [
            min(1.0, (sum(good) + forgiven) / len(good)) if good else 1.0
            for good in (*right, self.covered)
        ]


@pytest.mark.long
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("slant", [0, 10, 20, 30, 35])
@pytest.mark.parametrize(
    ("way", "seeds", "most_pointed_out", "least", "forgiven"),
    [
        # stacked slices in a grid: lengths, diameters, pitches, rings, covered
        (rendered, range(200, 204), 0.32, (0.95, 0.95, 0.95, 0.95, 0.95), 0),
        # the same with their axes level
        (level, range(500, 502), 0.2, (0.85, 0.95, 0.95, 0.8, 0.95), 0),
        # surfaces, strewn, darker than paper
        (plain, range(400, 403), 0.25, (0.85, 0.9, 0.95, 0.95, 0.95), 0),
        # mirrors of paper and lamps, strewn: half is not told, and least of all what is about as
        # light as the paper beside it; one ring of four may be wrong
        (other, range(300, 303), 0.65, (0.85, 0.95, 0.95, 0.75, 0.95), 0),
        # rays, dull metal in soft and hard shadows: half is not told, at 35 degrees three quarters
        (cast, range(600, 602), 0.75, (0.95, 0.95, 0.95, 0.8, 0.95), 0),
        # rays, mirrors: hardly any is told at all, and one wrong figure would be most of them
        (cast_mirrors, range(700, 702), 1.0, (0.95, 0.95, 0.95, 0.95, 0.95), 1),
    ],
    ids=["slices", "level", "plain", "mirrors", "rays", "ray mirrors"],
)
def test_fasteners_of_every_look(
    way: Callable[[Path, int, float], tuple[Path, list[Known]]],
    seeds: range,
    most_pointed_out: float,
    least: tuple[float, ...],
    forgiven: int,
    slant: int,
    tmp_path: Path,
) -> None:
    """None missed and none invented; lengths within 0.4 mm, diameters and rings within 0.15 mm,
    pitches right where one is told, in the shares that stand above."""
    tally = Tally()
    for seed in seeds:
        tally.add(*way(tmp_path, seed, slant))
    shares = tally.shares(forgiven)
    told = ", ".join(
        f"{name} {share:.0%}"
        for name, share in zip(
            ("lengths", "diameters", "pitches", "rings", "covered"), shares, strict=True
        )
    )
    print(f"\n{slant:2d}°: {tally.total} pieces, {tally.pointed_out} pointed out; within: {told}")
    assert not tally.missed
    assert tally.invented == 0
    assert tally.pointed_out <= most_pointed_out * tally.total
    assert all(share >= bound for share, bound in zip(shares, least, strict=True)), told


@pytest.mark.parametrize("seed", [15, 16])
def test_in_a_coarse_picture_none_is_left_out(seed: int, tmp_path: Path) -> None:
    """Of 2 megapixels: the edges of small washers are blurred all round, and yet they are seen."""
    tally = Tally()
    tally.add(*rendered(tmp_path, seed, 8, 2))
    assert not tally.missed
    assert tally.invented == 0


def test_pieces_that_touch_or_are_cut_off_are_pointed_out(tmp_path: Path) -> None:
    """Two screws crossed, one over the edge of the plain middle: none of the three is measured."""
    screws = (
        (Screw(5.9, 1.0, 30, "hex", 10, 4), (105, 110), 0),
        (Screw(5.9, 1.0, 30, "hex", 10, 4), (105, 112), 80),
        (Screw(5.9, 1.0, 30, "socket", 10, 6), (29, 200), 0),
        (Screw(5.9, 1.0, 30, "socket", 10, 6), (110, 200), 20),
    )
    slices = [
        piece
        for number, (screw, at, turn) in enumerate(screws)
        for piece in lay_screw(screw, at, turn, number)
    ]
    path = tmp_path / "touch.jpg"
    cv2.imwrite(
        str(path), render(Scene("a4", [], slices), Shot((2448, 1836), slant=8, seed=5, stains=2))
    )
    laid = measure_laid(straighten(open_picture(path)))
    assert [piece.name for piece in laid.pieces] == ["M6x1x30 socket"]
    assert len(laid.unclear) == 2
    assert any("edge" in one.why for one in laid.unclear)
    assert any("touch" in one.why for one in laid.unclear)


@pytest.mark.long
@pytest.mark.timeout(600)
def test_twelve_megapixels_fit_into_the_memory_promised(tmp_path: Path) -> None:
    """Under 500 MB in a program of its own; its processor seconds are printed with `-s`."""
    path, _ = rendered(tmp_path, 300, 20, 12)
    code = (
        "import re, sys, time; from pathlib import Path; from tagbench.cli import main\n"
        "import cv2; cv2.setNumThreads(1)\n"
        "sys.argv = ['tagbench', 'lay', sys.argv[1]]\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "held = re.search(r'VmHWM:\\s+(\\d+)', Path('/proc/self/status').read_text())[1]\n"
        "print(time.process_time(), held)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True
    )
    seconds, held = (float(word) for word in run.stdout.split()[-2:])
    held /= 1024
    print(f"\n12 MP: {seconds:.1f} processor seconds with start, {held:.0f} MB")
    assert held < 500
    assert seconds < 15  # on an idle core 3; many share these here
