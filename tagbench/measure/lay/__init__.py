"""Fasteners laid apart on the mat or the glass: counted, measured, named."""
