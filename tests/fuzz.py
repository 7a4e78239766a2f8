"""Feeds mutated files to everything that reads files: ``python tests/fuzz.py [COUNT] [SEED]``, by default 100000 and 1.

Every input must be taken or refused by an error of ours with one line per fault, within five seconds of work and 500
MB. Every hundredth layout that is taken is checked too. What breaks is printed with its seed, from which it is made
again.
"""

from __future__ import annotations

import random
import re
import resource
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from dryfit.generators.manifest import MANIFEST, read_manifest
from dryfit.generators.pipeline import check
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.templates import KINDS, part_file
from dryfit.models.drawer import read_drawer
from dryfit.models.filling import read_fillings
from dryfit.models.prices import read_prices
from dryfit.models.printer import generic_text, read_printer
from dryfit.models.reading.datafiles import DATA, data_text
from dryfit.models.reading.errors import DryfitError
from dryfit.models.resolve import read_job

COUNT, SEED = 100_000, 1
LONGEST = 5.0  # seconds for one input
MOST_MEMORY = 500_000  # kB, of the whole process
CHECKED = 100  # one in so many layouts that are taken is checked too

ODD = (
    "", "0", "-1", "1e-300", "1e300", "-0", ".inf", ".nan", "1_000", "0x10", "9" * 400, "1/0", "1/3 in", "3 mm",
    "-2 in", "true", "null", "~", "[]", "{}", "[[[[]]]]", "{a: {b: {c: 1}}}", "'", '"', "#", "- ", ": ", "&a", "*a",
    "!!int 3", "|", "\t", "\r", "\0", "\x1b[31m", "\u202e", "\u0633\u0644", "\U0001f50a", "\ud7ff", "x" * 5000,
    "../../etc", "M3", "rivet 1/8 in", "countersunk", "none", "default", "500", "64", "360", "0.0001", "90000 mm",
    "{n}", "{x}", "=1+1", "\ufeff",
)  # fmt: skip
"""What is put in the place of a word."""

_WORD = re.compile(r"[\w./-]+")


@dataclass(frozen=True)
class Kind:
    """A kind of file: examples of it, and what reads it."""

    examples: tuple[str, ...]
    name: str
    read: Callable[[Path], object]


def _own_parts(path: Path) -> object:
    catalogue = load_catalogue([path])
    return [catalogue.parts[name] for name in catalogue.parts]


def kinds() -> dict[str, Kind]:
    """Return every kind of file that a user may hand in."""
    layouts = tuple(path.read_text(encoding="utf-8") for path in sorted((DATA / "layouts").glob("*.yaml")))
    parts = tuple(
        re.sub(r"(?m)^  ([\w-]+):$", r"  own-\1:", data_text(f"parts/{name}.yaml"))
        for name in ("blanks", "video", "glands")
    )
    parts += tuple(part_file(kind, Path("mine.yaml"))[0] for kind in KINDS)
    template = 'title: "{name} {room}"\npanel: {rack_units: {units}, thickness: {sheet}}\nplaces: []\n'
    drawer = "item,count,order_number,pack,price,currency\nM3 x 10 csk,40,A-1,100,2.5,EUR\n#4-40 x 3/8 pan,9,,,,\n"
    prices = "item,pack,price,currency\nHexagon nut ISO 4032 - M3,100,2.50,EUR\nnut,1,1e3,EUR\n"
    fills = "name,room,units,sheet\na,A,2,1/8 in\nb,B,3,2 mm\n"
    digest = "0" * 64
    made = f'{{"file": "a.txt", "kind": "report", "sha256": "{digest}", "layout": "", "dryfit": "1"}}'
    manifest = f'{{"dryfit": "1", "name": "x", "layout": "", "verdict": "fits", "files": [{made}]}}'
    return {
        "layout": Kind(layouts, "layout.yaml", read_job),
        "parts": Kind(parts, "parts.yaml", _own_parts),
        "prices": Kind((prices,), "prices.csv", read_prices),
        "drawer": Kind((drawer,), "drawer.csv", read_drawer),
        "printer": Kind((generic_text(),), "printer.yaml", read_printer),
        "fill": Kind((fills,), "fill.csv", lambda path: read_fillings(path, path.with_name("box.yaml"), template)),
        "manifest": Kind((manifest,), MANIFEST, lambda path: read_manifest(path.parent)),
    }


def mutated(text: str, seed: str) -> str:
    """Return a text with one to four small disasters, the same for the same seed."""
    chance = random.Random(seed)
    for _ in range(chance.randint(1, 4)):
        text = chance.choice(DISASTERS)(text, chance)
    return text


def _odd_word(text: str, chance: random.Random) -> str:
    words = list(_WORD.finditer(text))
    if not words:
        return text
    word = chance.choice(words)
    return text[: word.start()] + chance.choice(ODD) + text[word.end() :]


def _cut(text: str, chance: random.Random) -> str:
    start = chance.randint(0, len(text))
    return text[:start] + text[start + chance.randint(1, 40) :]


def _insert(text: str, chance: random.Random) -> str:
    at = chance.randint(0, len(text))
    return text[:at] + chance.choice(ODD) + text[at:]


def _end(text: str, chance: random.Random) -> str:
    return text[: chance.randint(0, len(text))]


def _lines(text: str, chance: random.Random) -> str:
    lines = text.splitlines(keepends=True) or [""]
    a, b = chance.randrange(len(lines)), chance.randrange(len(lines))
    if chance.random() < 0.5:
        lines[a], lines[b] = lines[b], lines[a]
    else:
        lines[a : a + 1] = [lines[b]] * chance.choice((0, 1, 2, 60))
    return "".join(lines)


def _swapped_words(text: str, chance: random.Random) -> str:
    words = [word.group() for word in _WORD.finditer(text)]
    if not words:
        return text
    taken = chance.choice(words)
    word = chance.choice(list(_WORD.finditer(text)))
    return text[: word.start()] + taken + text[word.end() :]


DISASTERS = (_odd_word, _odd_word, _odd_word, _cut, _insert, _end, _lines, _swapped_words, _swapped_words)


def broken(kind: Kind, folder: Path, seed: str) -> Iterator[str]:
    """Yield what is wrong with how one mutated file is read; nothing where it is taken or refused as it should be."""
    example = random.Random(seed).choice(kind.examples)
    path, begun = folder / kind.name, time.process_time()
    path.write_bytes(mutated(example, seed).encode("utf-8", "surrogatepass"))
    try:
        job = kind.read(path)
        if kind.read is read_job and random.Random(seed).randrange(CHECKED) == 0:
            check(job)  # type: ignore[arg-type]
    except DryfitError as error:
        if not str(error).strip() or not all(line.isprintable() for line in str(error).splitlines()):
            yield f"says nothing that can be read: {error!r:.200}"
    except Exception:
        yield traceback.format_exc()
    if time.process_time() - begun > LONGEST:
        yield f"took {time.process_time() - begun:.1f} s"


def main(count: int, seed: int) -> int:
    """Try so many inputs, print what breaks and a table; return the exit status."""
    found, tried = 0, Counter[str]()
    with tempfile.TemporaryDirectory() as name:
        of = kinds()
        for number in range(count):
            word = list(of)[number % len(of)]
            tried[word] += 1
            for told in broken(of[word], Path(name), f"{seed}/{number}"):
                found += 1
                print(f"{word} {seed}/{number}: {told}", flush=True)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(", ".join(f"{word}: {times}" for word, times in tried.items()))
    print(f"{found} broken; {memory / 1000:.0f} MB at most")
    return int(found > 0 or memory > MOST_MEMORY)


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:]), *(COUNT, SEED)[len(sys.argv) - 1 :]))
