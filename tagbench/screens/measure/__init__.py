"""Measuring from a picture: a gasket traced, a bag's fasteners laid out, the picture chosen."""
