"""Tokens prepared for the parser: what two or three of them say together becomes one of its own."""

from __future__ import annotations

from tagbench.trade.fasteners.parser.counted_clauses import counted_clauses
from tagbench.trade.fasteners.parser.counted_things import (
    articles,
    bracketed_counts,
    counted_again,
    counted_each,
    counted_less,
    counted_sums,
    counted_times,
    counts_apart,
    counts_each,
    counts_of_nothing,
    counts_of_sorts,
    hedged,
    numbered_counts,
    of_a_lot,
    parted,
)
from tagbench.trade.fasteners.parser.features import features, remarks_on_parts
from tagbench.trade.fasteners.parser.headed_lists import headed_lists
from tagbench.trade.fasteners.parser.named_things import (
    ended_by_points,
    heads_of_engines,
    held_by_fasteners,
    hex_keys,
    keys_that_turn,
    metals_of_parts,
    named_after_fasteners,
    named_first,
    nipples,
    other_holes,
    pliers,
    prepositions,
    rubbers,
    sealed_by_rings,
    shared_nouns,
    sides_by_hand,
    split_or_slotted,
    tipped,
    types_of_things,
)
from tagbench.trade.fasteners.parser.parts_counted import parts_counted
from tagbench.trade.fasteners.parser.parts_like_kinds import parts_like_kinds
from tagbench.trade.fasteners.parser.remarks import with_remarks
from tagbench.trade.fasteners.parser.size_tokens import (
    count_before_fraction,
    counted_sizes,
    counts_before_long,
    counts_before_sizes,
    counts_behind_inches,
    counts_behind_kinds,
    lengths_before_heads,
    lengths_before_nuts,
    lengths_behind_sorts,
    mixed_counts,
    parted_sizes,
    ring_sizes,
    thicknesses,
)
from tagbench.trade.fasteners.parser.washers import (
    soft_washers,
    washers_alone,
    washers_in_short,
    washers_listed,
)
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import (
    RINGS,
)


def prepared(found: list[Token], text: str, *, placed: bool = False) -> list[Token]:
    """The tokens with counts for each, hands, and sizes in a row told from one another.

    `placed`: a heading said already where all of it was.
    """
    found = counts_of_nothing(thicknesses(pliers(found, text), text), text)
    found = metals_of_parts(keys_that_turn(found, text), text)
    found = remarks_on_parts(features(found, text), text)
    found = counts_apart(
        parts_like_kinds(types_of_things(ended_by_points(split_or_slotted(found))), text)
    )
    found = parts_counted(found, text)
    if any(token.kind == "join" for token in found):
        found = counted_clauses(headed_lists(found, text, placed=placed), text)
    found = tipped(other_holes(counts_behind_inches(counts_before_long(found))))
    found = counts_before_sizes(counts_behind_kinds(heads_of_engines(found)))
    found = counts_of_sorts(soft_washers(articles(mixed_counts(found))))
    found = washers_alone(lengths_behind_sorts(lengths_before_heads(lengths_before_nuts(found))))
    found = numbered_counts(
        named_first(
            of_a_lot(held_by_fasteners(named_after_fasteners(sealed_by_rings(found))), text)
        )
    )
    found = washers_in_short(washers_listed(found))
    found = with_remarks(counted_again(counted_sums(counted_less(found), text)), text)
    found = bracketed_counts(parted_sizes(prepositions(hex_keys(found))))
    found = rubbers(nipples(sides_by_hand(parted(found))))
    if any(token.kind == "join" for token in found):
        found = shared_nouns(found)
    if any(map(counts_each, found)):
        found = counted_each(found)
    found = counted_times(hedged(found))
    if any(token.entry and token.entry.kind in RINGS for token in found):
        found = ring_sizes(found)
    if any(token.cross and "/" in token.text for token in found):
        found = count_before_fraction(found)
    if any(token.many for token in found):
        found = counted_sizes(found)
    return found
