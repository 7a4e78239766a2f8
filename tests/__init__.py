"""Tests: what a person keeps on a shelf of their own must not reach them, nor the processes that they start."""

import os

os.environ["DRYFIT_SHELF"] = ""
