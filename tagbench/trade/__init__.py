"""Workshop mathematics: units, threads, spanners, torque, wear, gaskets. Pure functions.

Nothing is imported here, so that a program pays only for the subjects it uses; the tables
in `tables/` are read once, when first asked for.
"""
