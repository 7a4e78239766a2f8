"""In: what a person writes under the keys of a layout. Out: frozen records of it, all mm, nothing looked up yet.

One module for each thing that a layout asks for; :mod:`dryfit.models.resolving` works the same things out.
"""
