"""Points, rectangles, outlines and bodies: values with methods, exact and without a kernel.

In: sizes in mm. Out: the slices that solids, meshes and exact gaps are made from.
"""
