"""Remedies: what would cure a finding, each tried on the whole panel before it is told.

In: a report and its findings. Out: the findings with remedies, each a sentence and edits of the layout.
"""
