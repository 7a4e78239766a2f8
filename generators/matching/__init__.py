"""Parts on holes: which part goes on which hole, with which screws, and what would have to be drilled for it.

In: parts, holes that are there, and the sheet they are in. Out: for every pair what the checks say of a panel with that
one place, as a table, as CSV and JSON, and as a page.
"""
