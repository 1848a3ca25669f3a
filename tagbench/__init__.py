"""The bag-and-tag book for stripping an old machine and putting it back together."""

from tagbench.lighter import read_msgspec

read_msgspec()
