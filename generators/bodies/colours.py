"""The colours of bodies in CAD files and 3D viewers: by what they are made of, else by their role."""

from __future__ import annotations

from dryfit.generators.bodies.assembly import Instance, Role

Colour = tuple[float, float, float]  # red, green, blue, 0 to 1, sRGB

_BY_MATERIAL: dict[str, Colour] = {
    "aluminium": (0.78, 0.79, 0.80),
    "steel": (0.56, 0.58, 0.60),
    "stainless": (0.70, 0.71, 0.72),
    "nickel": (0.72, 0.70, 0.66),
    "plated zinc": (0.36, 0.37, 0.40),
    "zinc": (0.80, 0.82, 0.86),
    "brass": (0.80, 0.66, 0.36),
    "plastic": (0.17, 0.18, 0.20),
    "plug": (0.36, 0.52, 0.62),
}
_BY_ROLE: dict[Role, Colour] = {
    "panel": (0.78, 0.79, 0.80),
    "part": (0.36, 0.37, 0.40),
    "screw": (0.86, 0.86, 0.84),
    "nut": (0.84, 0.78, 0.62),
    "washer": (0.74, 0.76, 0.72),
    "plug": (0.24, 0.38, 0.48),
}


def colour(instance: Instance) -> Colour:
    """Return the colour of an instance."""
    return _BY_MATERIAL.get(instance.body.material, _BY_ROLE[instance.role])


def material_colour(material: str) -> Colour:
    """Return the colour of bare material."""
    return _BY_MATERIAL.get(material, _BY_ROLE["panel"])
