"""Clearances: the exact engine, the mesh engine beside it, what stands around a place, what passes a hole.

In: an assembly, or a job. Out: gaps in mm, clashes in mm3, and the surroundings of every place.
"""
