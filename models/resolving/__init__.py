"""In: a layout that was read, and the catalogue. Out: panel, holes and places in mm, or every fault with its line.

One module for each thing that a layout asks for; :mod:`dryfit.models.resolve` calls them one after the other.
"""
