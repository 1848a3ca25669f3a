"""From a picture: the mat that gives the scale, gaskets traced, fasteners laid out and measured.

It works on OpenCV, numpy and ezdxf, the extra `measure`; nothing here is imported until a picture
is to be measured, so the rest of tagbench runs without them.
"""
