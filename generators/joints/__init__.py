"""Joints: what one screw of a place holds together, and the fasteners that may do it.

In: a part as it is mounted, and the panel. Out: joints, stacks with every number that follows, candidates, torque.
"""
