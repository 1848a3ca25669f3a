"""Keys that the screens leave alone, or have no action on without another way to it."""

TERMINAL_KEYS = frozenset(f"ctrl+{letter}" for letter in "shimj")
"""Keys no action may use: flow control, backspace, Tab and Enter in disguise."""
TAKEN_KEYS = frozenset(["ctrl+a", "ctrl+b", "ctrl+q", "f10", "f11", "f12"])
"""Keys that a common multiplexer, desktop or terminal takes: what stands on one has a second key,
or is among what Ctrl+G lists."""
FIELD_KEYS = frozenset(f"ctrl+{letter}" for letter in "adekuvwx")
"""Keys that edit a field; no action of a screen with fields may use them."""
