"""Elements of a page as text: whatever comes from a layout is escaped here and nowhere else."""

from __future__ import annotations

from html import escape

from dryfit.models.reading.errors import printable

VOID = frozenset({"input", "meta", "use", "path", "circle"})
"""Elements without contents."""


def element(tag: str, *contents: str | Element, **attributes: object) -> Element:
    """Return an element; ``class_`` is its class, an underscore in a name stands for a hyphen.

    Attributes that are None or False are left out, one that is True has no value.
    """
    return Element(tag, contents, attributes)


class Element:
    """One element with what is in it."""

    def __init__(self, tag: str, contents: tuple[str | Element, ...], attributes: dict[str, object]):
        self.tag = tag
        self.contents = contents
        self.attributes = attributes

    def __str__(self) -> str:
        start = f"<{self.tag}{''.join(_attribute(*pair) for pair in self.attributes.items())}>"
        if self.tag in VOID:
            return start[:-1] + "/>"
        return start + "".join(_content(content) for content in self.contents) + f"</{self.tag}>"


def _content(content: str | Element) -> str:
    return str(content) if isinstance(content, Element) else escape(printable(content), quote=False)


def _attribute(name: str, value: object) -> str:
    if value is None or value is False:
        return ""
    name = name.rstrip("_").replace("_", "-")
    return f" {name}" if value is True else f' {name}="{escape(printable(str(value)))}"'
