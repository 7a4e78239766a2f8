"""What is made from a job: its report, and the files to order, print, cut, drill and assemble a panel.

In: a job. Out: a report (:mod:`~dryfit.generators.pipeline`) and files (:mod:`~dryfit.generators.build`). Each stage is
built on those before it: lettering, joints, bodies, clearance, checks, hardware, remedies, lists, drawing, testplate,
writers.
"""
