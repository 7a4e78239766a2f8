"""In: the solid of a part. Out: a part file that the project's own reader takes, and pictures of what was found.

The solid is ``turned`` with its front towards us, its holes are ``bores``, the rest ``layers`` with ``fitted``
outlines; ``measured`` says what these are of a part, ``outcome`` goes the whole way.
"""
