"""The registry of care steps: what can be done to a part between the strip and the rebuild.

A new step is one row here. From it follow what may stand in a record, what `mark` takes and its
help say, the key and its place on the screens, the lists and their counts, what comes next for a
part, the cautions, what it is offered to be done with, and the lines of the phone page.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

WantedBy = Literal["used pieces", "kinds that are lubed", "nothing"]
"""What wants a step: every piece that is not to be replaced, the kinds of part that have a usual
lubricant, or nothing unless the person says so."""


class CareKind(NamedTuple):
    """One kind of care step."""

    name: str
    """As it is written down, said of the part: `degreased`."""
    job: str
    """What is to be done: `degrease`."""
    key: str
    """The letter that marks it on the screens; its capital stands in the marks `D I L`."""
    help: str
    """What the key does, a sentence."""
    open_list: str
    """The list of the parts that still want it: `still dirty`; empty for a step with no list."""
    wanted_by: WantedBy = "nothing"
    """What wants it without being asked."""
    cleans: bool = False
    """Whether the part is clean by it: it ends a soak, and a used piece does not go on without.
    One row says so."""
    after_verdict: bool = False
    """Whether it waits until the part is to be used again, and clean."""
    usual_with: tuple[str, ...] = ()
    """What it is usually done with (common practice, no source); empty when it takes nothing."""
    cautions_of: str = ""
    """The step of `caution_lines.csv` whose cautions hold for it too; empty for its own alone."""


CARE: tuple[CareKind, ...] = (
    CareKind(
        "degreased",
        "degrease",
        "d",
        "Degreased, with what was used last.",
        "still dirty",
        wanted_by="used pieces",
        cleans=True,
        usual_with=(
            *("kerosene", "water-based degreaser", "hot water and detergent", "mineral spirits"),
            *("citrus cleaner", "water mist and cloth"),
        ),
    ),
    CareKind("inspected", "inspect", "i", "Inspected.", "not inspected", wanted_by="used pieces"),
    CareKind(
        "lubed",
        "lube",
        "l",
        "Lubed, with what that kind of part got last, or asks.",
        "to lube",
        wanted_by="kinds that are lubed",
        after_verdict=True,
        usual_with=("brake grease", "bearing grease", "gear oil", "engine oil", "chain oil"),
    ),
)
"""The care steps in the order in which they are usually done."""

CARE_STEPS = tuple(kind.name for kind in CARE)
"""Their names."""
CLEANING = next(kind for kind in CARE if kind.cleans)
"""The step that makes a part clean."""
LUBING = next(kind for kind in CARE if kind.wanted_by == "kinds that are lubed")
"""The step that puts grease or oil on."""


def care_kind(name: str) -> CareKind | None:
    """The care step of that name; None for anything else that can be marked or done."""
    return next((kind for kind in CARE if kind.name == name), None)
