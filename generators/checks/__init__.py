"""The checks, one question a module. A new check is one new module here with one decorated function.

In: a place in its surroundings (:class:`Fit`) or the whole panel (:class:`Fitting`). Out: answers and findings.
"""
