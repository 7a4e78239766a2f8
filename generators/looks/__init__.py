"""Looks drawn out: every body as layers and turned pieces with their finishes, for the page and the pictures.

In: a report. Out: for each instance what the eye is shown of it, within the envelope that was checked.
"""
