"""3MF (core specification 1.3): named meshes in millimetres and where each lies, in a package with fixed times."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from dryfit.generators.bodies.meshes import DIGITS
from dryfit.generators.testplate.beds import Laid
from dryfit.generators.testplate.pieces import Piece
from dryfit.generators.writers.whole import write_whole
from dryfit.models.reading.units import decimals

_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_EPOCH = (1980, 1, 1, 0, 0, 0)  # the earliest that a package can hold
_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>\n'
)
_RELATIONS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Id="rel0" Target="/3D/3dmodel.model" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>\n'
)


def write_3mf(laid: Sequence[Laid], title: str, path: Path) -> None:
    """Write pieces where they lie on the bed, like ones as one object laid out several times."""
    write_whole(path, threemf_bytes(laid, title))


def threemf_bytes(laid: Sequence[Laid], title: str) -> bytes:
    """Return the pieces as a 3MF package."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as package:
        for name, text in (
            ("[Content_Types].xml", _TYPES), ("_rels/.rels", _RELATIONS), ("3D/3dmodel.model", _model(laid, title)),
        ):  # fmt: skip
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            entry.create_system = 3  # whatever system writes it
            package.writestr(entry, text.encode())
    return stream.getvalue()


def _model(laid: Sequence[Laid], title: str) -> str:
    pieces = _distinct(laid)
    numbers = {id(piece): number for number, piece in enumerate(pieces, start=1)}
    objects = "".join(_object(number, piece) for number, piece in enumerate(pieces, start=1))
    items = "".join(
        f'<item objectid="{numbers[id(one.piece)]}" transform="1 0 0 0 1 0 0 0 1 {_n(one.x)} {_n(one.y)} 0"/>\n'
        for one in laid
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<model unit="millimeter" xml:lang="en" xmlns="{_CORE}">\n'
        f'<metadata name="Title">{escape(_sayable(title))}</metadata>\n'
        '<metadata name="Application">dryfit</metadata>\n'
        f"<resources>\n{objects}</resources>\n<build>\n{items}</build>\n</model>\n"
    )


def _distinct(laid: Sequence[Laid]) -> list[Piece]:
    """Return every piece once, in the order they are laid."""
    return list({id(one.piece): one.piece for one in laid}.values())


def _sayable(text: str) -> str:
    """Return text without the control characters that XML cannot hold."""
    return "".join(letter for letter in text if letter.isprintable())


def _object(number: int, piece: Piece) -> str:
    points = "".join(f'<vertex x="{_n(x)}" y="{_n(y)}" z="{_n(z)}"/>\n' for x, y, z in piece.points.tolist())
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>\n' for a, b, c in piece.faces.tolist())
    return (
        f'<object id="{number}" type="model" name={quoteattr(piece.name)}>\n<mesh>\n'
        f"<vertices>\n{points}</vertices>\n<triangles>\n{faces}</triangles>\n</mesh>\n</object>\n"
    )


def _n(value: float) -> str:
    return decimals(value, DIGITS)
