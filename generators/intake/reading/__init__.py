"""In: files of strangers. Out: what is in them as plain data, or one line that says why they are refused.

Each is read in a ``child`` process of its own, in ``bounds`` of time and memory: ``step`` files by the ``kernel``
into ``shapes``, ``dxf`` files by the library for them into what is ``drawn``.
"""
