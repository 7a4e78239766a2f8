"""The command line: one module a command, thin; each loads what it needs when it is called.

In: what people type. Out: text, files and an exit status.
"""
