"""The screens, driven by keys alone in a terminal of fixed size with a clock that stands still."""
