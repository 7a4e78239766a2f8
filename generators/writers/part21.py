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

_ENTITY = re.compile(r"#(\d+)=((?:'(?:[^']|'')*'|[^;'])*);")
_TOKEN = re.compile(r"'(?:[^']|'')*'|#(\d+)")
_SPACE = re.compile(r"('(?:[^']|'')*')|\s+")
_OCCURRENCE = re.compile(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\()'\d+'")
_SETS = ("MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION",)  # their items are sets: any order says the same


def canonical(text: str, header: str) -> str:
    """Return the file with the given header lines and its data section in canonical order."""
    schema = re.search(r"FILE_SCHEMA\(.*?\);", text, re.DOTALL)
    body = _OCCURRENCE.sub(r"\1'0'", _tight(text[text.index("DATA;") : text.rindex("ENDSEC;")]))
    entities = {int(n): line for n, line in _ENTITY.findall(body)}
    references = {n: [int(m) for m in _TOKEN.findall(t) if m] for n, t in entities.items()}
    digests = _digests(entities, references)
    for n, line in entities.items():
        if line.startswith(_SETS):
            entities[n], references[n] = _sorted_set(line, digests)
    order = _walk(references, digests)
    numbers = {old: new for new, old in enumerate(order, start=1)}
    lines = (f"#{numbers[n]}={_renumbered(entities[n], numbers)};" for n in order)
    data = _numbered_occurrences("\n".join(lines))
    assert schema is not None  # every Part 21 file names its schema
    return f"ISO-10303-21;\nHEADER;\n{header}{schema.group()}\nENDSEC;\nDATA;\n{data}\nENDSEC;\nEND-ISO-10303-21;\n"


def _tight(text: str) -> str:
    """Return the text without white space outside its strings."""
    return _SPACE.sub(r"\1", text)


def _numbered_occurrences(text: str) -> str:
    numbers = itertools.count(1)
    return _OCCURRENCE.sub(lambda m: f"{m.group(1)}'{next(numbers)}'", text)


def _digests(entities: dict[int, str], references: dict[int, list[int]]) -> dict[int, str]:
    """Return a digest of every entity; those referred to first (references of Part 21 files run in no circles)."""
    digests: dict[int, str] = {}
    for root in entities:
        stack = [root]
        while stack:
            n = stack[-1]
            waiting = [r for r in references[n] if r not in digests]
            if waiting:
                stack.extend(waiting)
                continue
            stack.pop()
            if n not in digests:
                line = _TOKEN.sub(lambda m: digests[int(m.group(1))] if m.group(1) else m.group(), entities[n])
                if line.startswith(_SETS):
                    line = "".join(sorted(re.findall(r"[0-9a-f]{40}", line)))
                digests[n] = hashlib.sha1(line.encode(), usedforsecurity=False).hexdigest()
    return digests


def _sorted_set(line: str, digests: dict[int, str]) -> tuple[str, list[int]]:
    """Return the entity with its first list of references sorted by what they say, and its references."""
    inner = re.search(r"\((#\d+(?:,\s*#\d+)*)\)", line)
    assert inner is not None  # a representation has items
    items = sorted((int(n) for n in re.findall(r"#(\d+)", inner.group(1))), key=lambda n: digests[n])
    line = f"{line[: inner.start(1)]}{','.join(f'#{n}' for n in items)}{line[inner.end(1) :]}"
    return line, [int(m) for m in _TOKEN.findall(line) if m]


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


def _renumbered(line: str, numbers: dict[int, int]) -> str:
    return _TOKEN.sub(lambda m: f"#{numbers[int(m.group(1))]}" if m.group(1) else m.group(), line)
