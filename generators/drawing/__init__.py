"""Drawings: one 2D description of holes, chart, views and sheets, whatever file it ends in.

In: a job, its assembly, paper. Out: sheets of marks in mm.
"""
