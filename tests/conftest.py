"""For all tests: what they start many times over is compiled once, also where the machine asks for no bytecode."""

from __future__ import annotations

import os
import sys

os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # for the commands that tests run
sys.dont_write_bytecode = False
