"""The writers, one file format per module."""
