"""A batch away: what is in the bucket by size, what came back short, sorting it into the bags."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import Batch, BatchPiece, Fastener, Part, Tables, replace
from tagbench.rules.count.fastener_lines import in_bag
from tagbench.rules.describe.phrases import day, named
from tagbench.trade.fasteners.spelling import spell


class BatchRow(NamedTuple):
    """One size in the bucket."""

    size: str
    """The fastener in its short form without how many, or the part by its name."""
    out: int
    """How many went."""
    counted: int | None
    """How many were counted when it came back; None while they were not."""
    sorted: int
    """How many are back in their bags."""
    bags: tuple[tuple[str, int, int, int], ...]
    """Code of the bag's part, line (0 for the part itself), how many go in, how many did."""

    @property
    def short(self) -> int:
        """How many fewer came back than went; 0 while they were not counted."""
        return max(0, self.out - self.counted) if self.counted is not None else 0


def bucket_size(fastener: Fastener) -> str:
    """What tells it apart in the bucket: `M6x1x20 hex`; place, torque and locking do not."""
    bare = replace(
        fastener, quantity=1, place="", torque=None, locking=(), note="", single_use=False
    )
    return spell(bare)


def piece_size(tables: Tables, piece: BatchPiece) -> str:
    """The size that a piece is counted under."""
    part = tables.parts[piece.code]
    return named(part) if piece.line == 0 else bucket_size(part.fasteners[piece.line - 1])


def packing_rows(tables: Tables, batch: Batch) -> list[BatchRow]:
    """The packing list: a row a size, in the order in which they were packed."""
    by_size: dict[str, list[BatchPiece]] = {}
    for piece in batch.pieces:
        if piece.code in tables.parts:
            by_size.setdefault(piece_size(tables, piece), []).append(piece)
    return [
        BatchRow(
            size=size,
            out=sum(piece.quantity for piece in pieces),
            counted=batch.counted.get(size),
            sorted=sum(piece.sorted for piece in pieces),
            bags=tuple((one.code, one.line, one.quantity, one.sorted) for one in pieces),
        )
        for size, pieces in by_size.items()
    ]


def pieces_in_bags(parts: Iterable[Part], sizes: Iterable[str] = ()) -> list[BatchPiece]:
    """What lies in the bags of these parts; with `sizes` only those, each whole or in part: a size
    that is there as typed means that one alone.

    Raises BadInput when that is nothing.
    """
    parts = list(parts)
    typed = [size.casefold() for size in sizes]
    there = {bucket_size(line).casefold() for part in parts for line in part.fasteners}
    wanted = [{one} if one in there else {size for size in there if one in size} for one in typed]
    pieces = [
        BatchPiece(code=part.code, line=number, quantity=in_bag(line))
        for part in parts
        for number, line in enumerate(part.fasteners, 1)
        if in_bag(line) and (not wanted or any(bucket_size(line).casefold() in w for w in wanted))
    ]
    if not pieces:
        which = f" of {', '.join(sizes)}" if wanted else ""
        raise BadInput(f"There is nothing{which} in these bags to send away.")
    return pieces


def gone_from_bag(part: Part, line: int, quantity: int) -> Part:
    """The part with so many fasteners of a line away; BadInput for more than lie in its bag."""
    there = in_bag(_line(part, line))
    if quantity > there:
        raise BadInput(f"In the bag of {named(part)} are {there} of line {line}, not {quantity}.")
    return _moved(part, line, quantity)


def counted_back(tables: Tables, batch: Batch, counts: dict[str, int]) -> Batch:
    """The batch with what was counted by size. A size may be typed in part, when it is one only.

    Raises BadInput for a size that is not in the bucket, or more of one than went.
    """
    if batch.closed is not None:
        raise Refused(f"Batch {batch.id} was closed on {day(batch.closed)}.")
    rows = {row.size: row for row in packing_rows(tables, batch)}
    found = dict(batch.counted)
    for typed, count in counts.items():
        size = _size_meant(rows, typed)
        if not 0 <= count <= rows[size].out:
            raise BadInput(f"{rows[size].out} × {size} went, so {count} cannot have come back.")
        if count < rows[size].sorted:
            raise BadInput(f"{rows[size].sorted} × {size} are in their bags already, not {count}.")
        found[size] = count
    return replace(batch, counted=found)


def sort_back(
    tables: Tables, batch: Batch, code: str, line: int, quantity: int | None = None
) -> tuple[Batch, Part]:
    """So many of a piece put back into its bag, or all of them: the batch and the part after that.

    Raises NotFound for a piece that is not in the batch, BadInput for more than it has or than came
    back of that size, Refused for a batch that is closed: what turns up later was short.
    """
    if batch.closed is not None:
        raise Refused(
            f"Batch {batch.id} was closed on {day(batch.closed)}; what turned up since is "
            "no longer short: say so on its part."
        )
    place = next(
        (at for at, one in enumerate(batch.pieces) if (one.code, one.line) == (code, line)), None
    )
    if place is None or code not in tables.parts:
        raise NotFound(f"Batch {batch.id} has nothing of {code}, line {line}.")
    piece = batch.pieces[place]
    left = piece.quantity - piece.sorted
    size = piece_size(tables, piece)
    row = next(row for row in packing_rows(tables, batch) if row.size == size)
    room = left if row.counted is None else min(left, row.counted - row.sorted)
    amount = room if quantity is None else quantity
    if not 1 <= amount <= room:
        raise BadInput(f"Of {size} {room} can go back into the bag of {code}, not {amount}.")
    pieces = list(batch.pieces)
    pieces[place] = replace(piece, sorted=piece.sorted + amount)
    part = tables.parts[code]
    if line:
        part = _moved(part, line, -amount)
    return replace(batch, pieces=tuple(pieces)), part


def left_away(batch: Batch) -> list[tuple[BatchPiece, int]]:
    """What is not sorted yet, with how many."""
    rest = ((piece, piece.quantity - piece.sorted) for piece in batch.pieces)
    return [(piece, left) for piece, left in rest if left]


def given_up(part: Part, line: int, quantity: int) -> Part:
    """The part with so many fasteners of a line lost that did not come back."""
    fastener = _line(part, line)
    after = replace(
        fastener, away=max(0, fastener.away - quantity), short=fastener.short + quantity
    )
    return _with_line(part, line, after)


def refuse_unsorted(tables: Tables, batch: Batch) -> None:
    """Raises Refused while something that was counted out of the bucket is in no bag yet."""
    for row in packing_rows(tables, batch):
        if row.counted is not None and row.counted > row.sorted:
            raise Refused(
                f"{row.counted - row.sorted} × {row.size} of batch {batch.id} came back and are in "
                "no bag yet; sort them first."
            )


def closed_batch(batch: Batch, on: date) -> Batch:
    """The batch closed; Refused when it is closed already."""
    if batch.closed is not None:
        raise Refused(f"Batch {batch.id} was closed on {day(batch.closed)} already.")
    return replace(batch, closed=on)


def _moved(part: Part, line: int, quantity: int) -> Part:
    fastener = _line(part, line)
    return _with_line(part, line, replace(fastener, away=max(0, fastener.away + quantity)))


def _with_line(part: Part, line: int, fastener: Fastener) -> Part:
    lines = list(part.fasteners)
    lines[line - 1] = fastener
    return replace(part, fasteners=tuple(lines))


def _line(part: Part, line: int) -> Fastener:
    if not 1 <= line <= len(part.fasteners):
        raise BadInput(f"{named(part)} has no line {line} of fasteners.")
    return part.fasteners[line - 1]


def _size_meant(rows: dict[str, BatchRow], typed: str) -> str:
    if typed in rows:
        return typed
    found = [size for size in rows if typed.casefold() in size.casefold()]
    if len(found) != 1:
        there = "; ".join(rows)
        how = "several sizes" if found else "nothing in the bucket"
        raise BadInput(f"“{typed}” is {how}; there is {there}.")
    return found[0]
