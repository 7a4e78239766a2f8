"""The true solids of parts, kept beside their part files and read once each, in a bounded process.

In: the solids that a job names. Out: each as shape and skin in the frame of its part, held by the sections of that; or
where it stands out of them.
"""
