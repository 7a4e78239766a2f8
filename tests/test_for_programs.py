"""The example for programs in DEVELOPERS.md, as it stands there."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

from tests.helpers import LAYOUTS, ROOT


def test_the_example_for_programs_runs_as_it_stands(tmp_path: Path) -> None:
    example = re.search(r"```python\n(.*?)```", (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"), re.DOTALL)
    assert example is not None
    shutil.copy(LAYOUTS / "blank.yaml", tmp_path / "box.yaml")
    done = subprocess.run([sys.executable, "-c", example[1]], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.stderr == ""
    assert "XLR" in done.stdout
    assert done.stdout.splitlines()[-1].startswith("2.98 2.4 ")  # M3 6g at its largest (ISO 965-2); ISO 4032 nut
    assert (tmp_path / "panel.dxf").read_bytes().startswith(b"  0\nSECTION")
