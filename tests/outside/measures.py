"""What a published figure measures on a part: one dimension by its path, or one of a few sums of them."""

from __future__ import annotations

from dryfit.models.catalogue.dimensions import dimensions
from dryfit.models.catalogue.parts import Part, Plug


def measured(record: Part | Plug, path: str) -> float:
    """Return a dimension of a part or plug, mm; ``depth`` and ``front height`` count from the flange's other face."""
    if isinstance(record, Part) and path == "depth":
        return record.flange.thick + max(section.stop for section in record.rear)
    if isinstance(record, Part) and path == "front height":
        return record.flange.thick + max(section.stop for section in record.front)
    return {found.path: found.value for found in dimensions(record)}[path]
