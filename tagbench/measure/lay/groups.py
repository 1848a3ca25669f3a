"""Equal pieces of a picture together, as a person confirms them and as they are written down."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from tagbench.measure.lay.laid import Laid, MeasuredPiece, Unclear, screw_name

MEASURED = "measured from a picture"
UNTRIED = "tried on rendered pictures only, check one with the caliper"


@dataclass(frozen=True, slots=True)
class PieceGroup:
    """Equal pieces."""

    quantity: int
    name: str
    """What they are taken for, as fasteners are typed: `M6x1x25 hex`."""
    figures: str
    """What was measured, with what it may be off: `25.1 ±0.2 mm long; 5.9 ±0.1 mm across`."""
    others: tuple[str, ...] = ()
    """What they may be as well, likeliest first, as fasteners are typed."""
    note: str = ""

    @property
    def source(self) -> str:
        """What goes into the record."""
        return f"{MEASURED}: {self.figures}; {UNTRIED}"


@dataclass(frozen=True, slots=True)
class LaidGroups:
    """What lies on a picture, in groups."""

    groups: tuple[PieceGroup, ...] = ()
    unclear: tuple[Unclear, ...] = ()
    """The pieces that are not measured: where, and why."""
    residual_mm: float = 0.0
    note: str = ""
    """What the person should know of the picture's scale."""
    error: str = field(default="")
    """Why nothing was measured; empty when something was."""


def grouped(laid: Laid) -> LaidGroups:
    """The pieces by what they are taken for, in the order in which they lie."""
    together: dict[str, list[MeasuredPiece]] = {}
    for piece in laid.pieces:
        together.setdefault(piece.name, []).append(piece)
    groups = tuple(_group(name, pieces) for name, pieces in together.items())
    return LaidGroups(groups, laid.unclear, laid.residual_mm, laid.note)


def not_measured(unclear: Iterable[Unclear]) -> list[str]:
    """A sentence for each reason, with the places of the pieces that it is true of."""
    places: dict[tuple[str, str], list[str]] = {}
    for one in unclear:
        places.setdefault((one.why, one.of), []).append(f"{one.x:.0f}, {one.y:.0f}")
    return [
        f"{len(here)} not measured, at {'; '.join(here)} mm from the lower left of {of}: {why}"
        for (why, of), here in places.items()
    ]


def _group(name: str, pieces: list[MeasuredPiece]) -> PieceGroup:
    first = pieces[0]
    return PieceGroup(len(pieces), name, figures_words(pieces), _others(first), first.note)


def _others(piece: MeasuredPiece) -> tuple[str, ...]:
    names = []
    for at, candidate in enumerate(piece.candidates):
        if at and candidate.inside_limits:
            if piece.kind == "nut":
                names.append(f"nut {candidate.designation}")
            elif piece.length is not None:
                only = piece.candidates[at:]
                # what is inside limits is named by its thread alone
                names.append(screw_name(piece.length, piece.diameter or 0, piece.head or "", only))
    return tuple(dict.fromkeys(name for name in names if name != piece.name))


def figures_words(pieces: list[MeasuredPiece]) -> str:
    """The mean of what was measured, and the most that any of it may be off."""
    said = []
    doubt = max(piece.uncertainty for piece in pieces)
    if (length := _mean([piece.length for piece in pieces])) is not None:
        off = max(piece.length_uncertainty or 0.0 for piece in pieces)
        said.append(f"{length:.1f} ±{off:.1f} mm long")
    if (across := _mean([piece.diameter for piece in pieces])) is not None:
        said.append(f"{across:.2f} ±{doubt:.2f} mm across")
    elif pieces[0].kind in ("screw", "stud"):
        said.append("diameter not readable")
    if (pitch := _mean([piece.pitch for piece in pieces])) is not None:
        said.append(f"pitch {pitch:.2f} mm")
    elif pieces[0].kind in ("screw", "stud"):
        said.append("pitch not readable")
    inside = _mean([piece.inside for piece in pieces])
    outside = _mean([piece.outside for piece in pieces])
    if outside is not None:
        said.append(f"{outside:.2f} ±{doubt:.2f} mm outside")
    if inside is not None:
        said.append(f"{inside:.2f} ±{doubt:.2f} mm inside")
    if (flats := _mean([piece.across_flats for piece in pieces])) is not None:
        said.append(f"{flats:.2f} mm across flats")
    return "; ".join(said)


def _mean(values: list[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return sum(known) / len(known) if known else None
