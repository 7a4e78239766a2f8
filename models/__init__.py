"""What things are: layouts, parts, tables of standards, the job. No CAD kernel and no meshes.

In: the files that people write and the tables that come along. Out: a :class:`~dryfit.models.job.Job`, all in mm.
"""
