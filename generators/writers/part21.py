"""Part 21 text (ISO 10303-21) made canonical: entities ordered and numbered by what they say.

The kernel numbers entities by addresses in memory and by a counter of the process. Here every entity gets a digest of
its text with its references replaced by the digests they lead to; the ones nobody refers to are sorted by digest, and
a walk from them in the order of reference gives the numbers.
"""

from __future__ import annotations

import hashlib
import itertools
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

_ENTITY = re.compile(r"#(\d+)=((?:'(?:[^']|'')*'|[^;'])*);")
_REFERENCE = re.compile(r"#(\d+)")
_NO_REFERENCE = "\0"  # stands for # within strings while references are looked for; no Part 21 text holds it
_OCCURRENCE = re.compile(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\()'\d+'")
_SETS = ("MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION",)  # their items are sets: any order says the same


def canonical(text: str, header: str) -> str:
    """Return the file with the given header lines and its data section in canonical order."""
    schema = re.search(r"FILE_SCHEMA\(.*?\);", text, re.DOTALL)
    body = _OCCURRENCE.sub(r"\1'0'", _tight(text[text.index("DATA;") : text.rindex("ENDSEC;")]))
    entities = {int(n): _parted(line) for n, line in _ENTITY.findall(body)}
    digests = _digests(entities)
    for n, entity in entities.items():
        if entity.words[0].startswith(_SETS):
            entities[n] = _sorted_set(entity, digests)
    order = _walk({n: entity.references for n, entity in entities.items()}, digests)
    numbers = {old: f"#{new}" for new, old in enumerate(order, start=1)}
    lines = (f"{numbers[n]}={entities[n].said(numbers)};" for n in order)
    data = _numbered_occurrences("\n".join(lines)).replace(_NO_REFERENCE, "#")
    assert schema is not None  # every Part 21 file names its schema
    return f"ISO-10303-21;\nHEADER;\n{header}{schema.group()}\nENDSEC;\nDATA;\n{data}\nENDSEC;\nEND-ISO-10303-21;\n"


@dataclass(frozen=True)
class _Entity:
    """The text of an entity: its words and, between each two of them, a reference."""

    words: list[str]
    references: list[int]

    def said(self, names: Mapping[int, str]) -> str:
        """Return the text with its references by the names given."""
        said = [*self.words, *self.words[1:]]
        said[::2] = self.words
        said[1::2] = [names[n] for n in self.references]
        return "".join(said)


def _parted(line: str) -> _Entity:
    parts = _REFERENCE.split(line)
    return _Entity(parts[::2], [int(n) for n in parts[1::2]])


def _tight(text: str) -> str:
    """Return the text without white space outside its strings, and without what looks like a reference within them."""
    parts = text.split("'")  # outside and inside in turn; a doubled quote in a string only makes two strings of it
    parts[::2] = ["".join(part.split()) for part in parts[::2]]
    parts[1::2] = [part.replace("\n", "").replace("#", _NO_REFERENCE) for part in parts[1::2]]  # lines are no text
    return "'".join(parts)


def _numbered_occurrences(text: str) -> str:
    numbers = itertools.count(1)
    return _OCCURRENCE.sub(lambda m: f"{m.group(1)}'{next(numbers)}'", text)


def _digests(entities: dict[int, _Entity]) -> dict[int, str]:
    """Return a digest of every entity; those referred to first (references of Part 21 files run in no circles)."""
    digests: dict[int, str] = {}
    for root in entities:
        stack = [root]
        while stack:
            n = stack[-1]
            waiting = [r for r in entities[n].references if r not in digests]
            if waiting:
                stack.extend(waiting)
                continue
            stack.pop()
            if n not in digests:
                digests[n] = _digest(entities[n], digests)
    return digests


def _digest(entity: _Entity, digests: Mapping[int, str]) -> str:
    if entity.words[0].startswith(_SETS):
        text = "".join(sorted(digests[n] for n in entity.references))
    else:
        text = entity.said(digests).replace(_NO_REFERENCE, "#")
    return hashlib.sha1(text.encode(), usedforsecurity=False).hexdigest()


def _sorted_set(entity: _Entity, digests: Mapping[int, str]) -> _Entity:
    """Return the entity with its first list of references sorted by what they say."""
    count = next(n for n, word in enumerate(entity.words[1:], start=1) if word != ",")  # the list ends with a bracket
    items = sorted(entity.references[:count], key=lambda n: digests[n])
    return _Entity(entity.words, items + entity.references[count:])


def _walk(references: dict[int, list[int]], digests: dict[int, str]) -> list[int]:
    """Return all entities in the order of a walk from those nobody refers to.

    Of these, several may say the same of bodies that differ in nothing but who uses them. They come last, by the
    numbers of what they lead to, which the others have given by then.
    """
    referred = {r for targets in references.values() for r in targets}
    roots = sorted((n for n in references if n not in referred), key=lambda n: digests[n])
    count = Counter(digests[n] for n in roots)
    seen: dict[int, int] = {}
    for root in (n for n in roots if count[digests[n]] == 1):
        _visit(root, references, seen)
    tied = (n for n in roots if count[digests[n]] > 1)
    for root in sorted(tied, key=lambda n: (digests[n], _numbers_below(n, references, seen))):
        _visit(root, references, seen)
    return list(seen)


def _visit(root: int, references: dict[int, list[int]], seen: dict[int, int]) -> None:
    """Number an entity and all that it leads to, in the order of reference, but for those that are seen already."""
    stack = [root]
    while stack:
        n = stack.pop()
        if n not in seen:
            seen[n] = len(seen)
            stack.extend(reversed(references[n]))


def _numbers_below(root: int, references: dict[int, list[int]], seen: dict[int, int]) -> list[int]:
    """Return the numbers of what an entity leads to, -1 for what has none yet, in the order of reference."""
    below: dict[int, int] = {}
    _visit(root, references, below)
    return [seen.get(n, -1) for n in below]
