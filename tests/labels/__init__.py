"""Tests of the labels library; they import nothing from tagbench."""
