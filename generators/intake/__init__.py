"""Files that come in from outside, made into what dryfit knows: a solid into a part, a bought panel into a layout.

In: a STEP file of anybody's. ``child`` reads it with the kernel in a process of its own, bounded in time and memory,
and gives back ``shapes``: plain data, nothing of the kernel. ``kernel`` is what runs in that process.

In: a DXF or STEP file of a panel. ``files`` gives it as a plate, its outline and its openings; ``layouts`` groups these
into places and writes the layout that begins with them.
"""
