"""`python -m tagbench`."""

from tagbench.cli import main

main()
