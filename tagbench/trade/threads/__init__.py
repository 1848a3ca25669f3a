"""Screw threads: designations, limits by their standards' formulas, naming, look-alikes."""

from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.limits import limits_of
from tagbench.trade.threads.lookalikes import Lookalike, lookalikes, mix_ups, would_start_in
from tagbench.trade.threads.naming import name_thread
from tagbench.trade.threads.naming_notes import ThreadCandidate
from tagbench.trade.threads.pitch import Pitch, parse_pitch, pitch_over
from tagbench.trade.threads.sizes import all_threads
from tagbench.trade.threads.thread import Thread, ThreadLimits

__all__ = [
    "Lookalike",
    "Pitch",
    "Thread",
    "ThreadCandidate",
    "ThreadLimits",
    "all_threads",
    "limits_of",
    "lookalikes",
    "mix_ups",
    "name_thread",
    "parse_pitch",
    "parse_thread",
    "pitch_over",
    "would_start_in",
]
