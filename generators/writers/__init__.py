"""The writers, one file format a module, each with its own row in the register.

In: an order (report, paper, printer). Out: files, written whole, the same bytes for the same input.
"""
