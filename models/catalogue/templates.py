"""Part files to begin with: one for each way in which a part is held, commented, with its plug.

In the text a path in angle brackets stands for the letter of that dimension (``<flange.thick>``, ``<plug: travel>``),
the same letter as on the part's sheet; NAME and FILE for those of the part.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from dryfit.models.catalogue.letters import lettered
from dryfit.models.catalogue.part_files import Catalogue, load_catalogue, parse_catalogue
from dryfit.models.reading.datafiles import data_text
from dryfit.models.reading.yamlfile import plain_value

FOLDER = "start"
KINDS = ("flange", "round", "rectangular", "bush")  # as they are told: the most usual first
LONGEST_NAME = 40  # letters of a part's name
_PATH = re.compile(r"<(plug: )?([a-z0-9_.]+)>")
_NO_NAME = re.compile(r"[^\w.+-]+")


def part_name(file: Path) -> str:
    """Return the name of a part whose file is called so: that of the file, unless the catalogue has it already."""
    stem = _NO_NAME.sub("-", file.stem).strip("-.")[:LONGEST_NAME] or "part"
    taken = load_catalogue(shelf=())
    free = stem not in taken.parts and f"{stem}-plug" not in taken.plugs and isinstance(plain_value(stem), str)
    return stem if free else f"my-{stem}"


def part_file(kind: str, file: Path) -> tuple[str, Catalogue]:
    """Return the text of a file for a part of some kind, and the catalogue with that part."""
    name = part_name(file)
    text = data_text(f"{FOLDER}/{kind}.yaml").replace("NAME", name).replace("FILE", file.name)
    catalogue = parse_catalogue(file, text)
    letters = {"": _letters(catalogue, name), "plug: ": _letters(catalogue, f"{name}-plug")}
    return _PATH.sub(lambda found: letters[found[1] or ""][found[2]], text), catalogue


def _letters(catalogue: Catalogue, name: str) -> Mapping[str, str]:
    record = catalogue.parts[name] if name in catalogue.parts else catalogue.plugs[name]
    return {one.path: one.letter for one in lettered(record)}
