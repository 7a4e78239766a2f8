"""What keeps the screws of a joint from working loose."""

from __future__ import annotations

from dryfit.generators.joints.stacks import Stack
from dryfit.models.job import HardwareWish
from dryfit.models.tables import fasteners

NOTHING = "nothing"  # but the preload


def kept_by(stack: Stack, wish: HardwareWish) -> str:
    """Return what keeps the screws of a stack from working loose, by its name in the table of retention."""
    if stack.screw.rivet is not None:
        return "rivet"
    if stack.boss is not None and stack.boss.material == "plastic":
        return "plastic boss"
    if wish.retention == "thread locker":
        return "thread locker"
    locks = fasteners.nut_kinds()[stack.nut.kind].keeps if stack.nut is not None else None
    if locks is not None:
        return locks
    kinds = {washer.kind for washer in stack.washers}
    if any(fasteners.washer_kinds()[kind].bites for kind in kinds):
        return "tooth washer"
    return "split washer" if "split" in kinds else NOTHING
