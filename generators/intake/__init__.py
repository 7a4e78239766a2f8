"""Files that come in from outside, made into what dryfit knows: a solid into a part, a bought panel into a layout.

In: a DXF or STEP file of anybody's, which ``reading`` turns into plain data in bounded processes of its own. Out: of a
panel one of the ``plates``, and of that the layout that begins with it (``panels``), or what differs from the panel
that was asked for (``comparing``); of a connector the part file that says its sizes (``measuring``), and its true solid
in place of them (``solids``).
"""
