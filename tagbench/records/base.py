"""The common ground of all records: frozen, compared by value, validated when read."""

import re
from typing import Annotated, Any, TypeVar

import msgspec

from tagbench.errors import BadInput

#: A code as it stands on a tag: mark, serial of three digits or more, check character.
Code = Annotated[str, msgspec.Meta(pattern=r"^[A-Z0-9]{1,3}-[0-9]{3,}-[0-9A-Z]$")]
#: The mark of a machine, one to three capital letters or digits.
Mark = Annotated[str, msgspec.Meta(pattern=r"^[A-Z0-9]{1,3}$")]
#: A whole number of things, at least one.
Natural = Annotated[int, msgspec.Meta(ge=1)]
#: A whole number of things, none allowed.
Tally = Annotated[int, msgspec.Meta(ge=0)]
#: A name that says something.
Name = Annotated[str, msgspec.Meta(min_length=1, max_length=400)]


class Record(
    msgspec.Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    forbid_unknown_fields=True,
    gc=False,
):
    """A frozen value; `replace` makes a changed copy. Defaults are left out of the book.

    A field that is not known is refused: it is damage, or of a newer version. A record holds no
    record that holds it, so looking for such rings (`gc`) is left out: there are many thousands.
    """


R = TypeVar("R", bound=Record)


def replace(record: R, **changes: Any) -> R:
    """A copy of `record` with some fields changed, validated like one that was read."""
    changed = msgspec.structs.replace(record, **changes)
    return from_plain(to_plain(changed), type(record))


def to_plain(record: Record) -> dict[str, Any]:
    """The record as plain JSON types, defaults left out (the form the book stores)."""
    plain: dict[str, Any] = msgspec.to_builtins(record)
    return plain


def to_json(record: Record) -> dict[str, Any]:
    """The record with every field, defaults too, as plain JSON types (the form people read)."""
    return {name: _json(getattr(record, name)) for name in record.__struct_fields__}


def _json(value: object) -> Any:
    if isinstance(value, Record):
        return to_json(value)
    if isinstance(value, tuple | list):
        return [_json(item) for item in value]
    if isinstance(value, dict):
        return {str(key): _json(item) for key, item in value.items()}
    return msgspec.to_builtins(value)


_WHERE = re.compile(r"(?s)^(?P<what>.*?)(?: - at `\$\.?(?P<path>.*?)`)?$")
_LENGTH = re.compile(r"expected str of length <= ([0-9]+)")


def in_plain_words(message: str) -> str:
    """msgspec's message with the path first: `fasteners[0].quantity: expected int >= 1`."""
    found = _WHERE.match(message)
    what = (found["what"] if found else message).replace("`", "")
    what = _LENGTH.sub(r"at most \1 characters, please", what[:1].lower() + what[1:])
    path = found["path"] if found else None
    return f"{path.replace('_', ' ')}: {what}" if path else what


def from_plain(plain: object, kind: type[R]) -> R:
    """Validates plain JSON types into a record; the error names the path of the bad field."""
    try:
        return msgspec.convert(plain, kind)
    except msgspec.ValidationError as error:
        raise BadInput(f"This cannot be written down: {in_plain_words(str(error))}.") from error
