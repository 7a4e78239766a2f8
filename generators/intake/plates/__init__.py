"""In: what a file draws or what solid it holds. Out: a plate with its outline and its openings, mm, panel axes.

``files`` goes the whole way, whatever the file is: lines joined to ``rings``, these to ``figures``, and a ``plate`` of
them; of a solid the face that is its front (``solid_plates``).
"""
