"""Bodies: every solid of the assembly from slices, where it stands; meshes without the kernel, CAD solids with it.

In: parts, stacks and the panel. Out: the assembly, each distinct body once.
"""
