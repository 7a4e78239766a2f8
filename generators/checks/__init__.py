"""The checks, one question per module. A new check is one new module here with one decorated function."""
