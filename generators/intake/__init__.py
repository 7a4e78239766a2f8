"""Files that come in from outside, made into what dryfit knows: a maker's solid into a part.

In: a STEP file of anybody's. ``child`` reads it with the kernel in a process of its own, bounded in time and memory,
and gives back ``shapes``: plain data, nothing of the kernel. ``kernel`` is what runs in that process.
"""
