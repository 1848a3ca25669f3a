"""Faces beside the Noto Sans that is installed as a package: Armenian, Georgian, and signs.

All are Noto fonts under the SIL Open Font License 1.1 (`OFL.txt`), from the Debian package
fonts-noto-core 20201225-1. The Armenian and Georgian faces are unchanged; the `-part` files
hold only arrows, mathematical operators, technical signs, circled numbers, shapes and dingbats,
cut out with pyftsubset.
"""
