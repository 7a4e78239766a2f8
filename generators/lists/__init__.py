"""Lists: holes with their letters and drills, what to buy, the steps of assembly, cautions.

In: a job or a report. Out: rows for drawings, sheets and files.
"""
