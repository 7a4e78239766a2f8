"""Malformed layouts and part files: what is wrong, on which line, and words that the message must hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

GOOD = """\
title: Test
panel:
  rack_units: 2
  thickness: 3 mm
places:
  - part: xlr3-socket
    label: MIC {n}
    count: 2
    at: [60 mm, 44 mm]
    pitch: 30 mm
"""


@dataclass(frozen=True)
class BadInput:
    """A layout (and a part file, if any) with a fault on a known line."""

    name: str
    layout: str | bytes
    line: int | None
    words: tuple[str, ...]
    parts: str = ""

    def write(self, folder: Path) -> Path:
        """Write the files into a folder; return the layout's path."""
        path = folder / "layout.yaml"
        path.write_bytes(self.layout if isinstance(self.layout, bytes) else self.layout.encode())
        if self.parts:
            (folder / "own.yaml").write_text(self.parts, encoding="utf-8")
        return path

    def says(self, lines: Sequence[str]) -> bool:
        """Whether one of the lines tells the fault: file, line and words."""
        where = "own.yaml" if self.parts else ".yaml"
        place = f"{where}:{self.line}: " if self.line is not None else f"{where}:"
        return any(place in text and all(word in text for word in self.words) for text in lines)


def _changed(name: str, old: str, new: str, line: int, *words: str) -> BadInput:
    assert old in GOOD, old
    return BadInput(name, GOOD.replace(old, new), line, words)


def _row(name: str, row: str, *words: str) -> BadInput:
    return _changed(name, "at: [60 mm, 44 mm]\n    pitch: 30 mm", f"row: {row}", 9, *words)


def _cut(name: str, cut: str, *words: str) -> BadInput:
    return _changed(name, "places:", f"cut:\n  - {cut}\nplaces:", 6, *words)


PART = """\
parts:
  my-part:
    title: Mine
    family: test
    flange: {outline: {box: [26, 31]}, thick: 2}
    cutout: {round: 24}
"""
WITH_PARTS = GOOD.replace("places:", "parts: [own.yaml]\nplaces:")


def _part(name: str, old: str, new: str, line: int, *words: str) -> BadInput:
    assert old in PART, old
    return BadInput(name, WITH_PARTS, line, words, PART.replace(old, new))


BAD_INPUTS = (
    _changed("negative length", "3 mm", "-3 mm", 4, "-3 mm", "negative"),
    _changed("NaN", "3 mm", ".nan", 4, "thickness", "nan"),
    _changed("infinite", "3 mm", ".inf", 4, "thickness", "inf"),
    _changed("unknown unit", "3 mm", "3 ft", 4, "3 ft", "not a length"),
    _changed("missing number", "3 mm", "mm", 4, "'mm'", "not a length"),
    _changed("a word for a length", "3 mm", "thick", 4, "'thick'"),
    _changed("zero thickness", "3 mm", "0", 4, "thickness"),
    _changed("division by zero", "3 mm", "1/0 in", 4, "divides by zero"),
    _changed("a list for a length", "3 mm", "[3]", 4, "thickness"),
    _changed("true for a length", "3 mm", "true", 4, "true is not a length"),
    _changed("huge thickness", "3 mm", "300 mm", 4, "thickness"),
    _changed("unknown gauge", "3 mm", "17 ga", 4, "17 ga", "aluminium"),
    _changed("no gauge", "3 mm", "thin ga", 4, "gauge"),
    _changed("too many units", "rack_units: 2", "rack_units: 13", 3, "rack_units", "12"),
    _changed("half a unit", "rack_units: 2", "rack_units: 1.5", 3, "rack_units"),
    _changed("units as a word", "rack_units: 2", "rack_units: two", 3, "rack_units", "two"),
    _changed("two sizes", "rack_units: 2", "rack_units: 2\n  size: [200, 100]", 2, "one of rack_units, size and plate"),
    _changed("no size", "  rack_units: 2\n", "", 2, "one of rack_units, size and plate"),
    _changed("huge panel", "rack_units: 2", "size: [9000, 100]", 3, "3000"),
    _changed("misspelt key", "thickness", "thicknes", 4, "thicknes", "did you mean thickness?"),
    _changed("misspelt top key", "title: Test", "titel: Test", 1, "titel", "did you mean title?"),
    _changed("misspelt place key", "pitch", "pich", 10, "pich", "did you mean pitch?"),
    _changed("missing title", "title: Test\n", "", 1, "title", "missing"),
    _changed("missing thickness", "  thickness: 3 mm\n", "", 2, "thickness", "missing"),
    _changed("missing part", "  - part: xlr3-socket\n    label", "  - label", 6, "part", "missing"),
    _changed("missing at", "    at: [60 mm, 44 mm]\n", "", 6, "at", "missing"),
    _changed("unknown part", "xlr3-socket", "xlr3-soket", 6, "xlr3-soket", "did you mean xlr3-socket?"),
    _changed("unknown material", "3 mm", "3 mm\n  material: aluminun", 5, "aluminun", "did you mean aluminium?"),
    _changed("unknown pattern", "3 mm", "3 mm\n  holes: d-hol", 5, "d-hol", "did you mean d-hole?"),
    _changed("unknown side", "pitch: 30 mm", "pitch: 30 mm\n    mount: beside", 11, "mount", "front or rear"),
    _changed("unknown plug", "pitch: 30 mm", "pitch: 30 mm\n    plug: xlr-plug-pin", 11, "xlr-plug-pins?"),
    _changed("unknown thread", "pitch: 30 mm", "pitch: 30 mm\n    hardware: {screw: M33}", 11, "M33", "mean M3?"),
    _changed("unknown head", "pitch: 30 mm", "pitch: 30 mm\n    hardware: {head: pann}", 11, "pann", "mean pan?"),
    _changed("unknown nut", "pitch: 30 mm", "pitch: 30 mm\n    hardware: {nut: hexed}", 11, "hexed", "hexagon"),
    _changed("unknown washer", "pitch: 30 mm", "pitch: 30 mm\n    hardware: {washers: [teeth]}", 11, "teeth"),
    _changed("no count", "count: 2", "count: 0", 8, "count"),
    _changed("too many places", "count: 2", "count: 501", 8, "count", "500"),
    _changed("a count without a pitch", "    pitch: 30 mm\n", "", 6, "pitch"),
    _changed("one coordinate", "[60 mm, 44 mm]", "[60 mm]", 9, "at"),
    _changed("neither at nor row", "    at: [60 mm, 44 mm]\n    pitch: 30 mm\n", "", 6, "missing: at or row"),
    _changed("at and row", "pitch: 30 mm", "row: {gap: 3}", 6, "one of at and row"),
    _changed("a row and a pitch", "at: [60 mm, 44 mm]", "row: {gap: 3}", 6, "a row has its own"),
    _row("a row of no distance", "{}", "nothing says how far apart", "a gap, a pitch, a margin"),
    _row("a row of two distances", "{gap: 3, pitch: 30}", "one of pitch and gap"),
    _row("a row with margin and gap", "{gap: 3, margin: 30}", "margin"),
    _row("a row that is told twice where", "{gap: 3, from: 60, centre: 90}", "from, to or about its centre"),
    _row("a row from its end", "{from: 90, to: 60}", "to lies right of from"),
    _row("a row longer than the panel", "{pitch: 500}", "reach", "over the edge of the panel", "more lines"),
    _row("a row without room", "{margin: 220}", "too many for the room", "more lines"),
    _row("a row after nothing", "same", "stands in no row"),
    _row("a row that goes on and begins", "{after: 3, from: 20}", "write after alone"),
    _row("a row by another word", "again", "row", "keys and values"),
    _row("levels for other lines", "{lines: 3, gap: 3, y: [20, 60]}", "3 lines has 2 y", "from the top"),
    _changed("like nothing", "part: xlr3-socket", "like: above", 6, "no entry above"),
    _changed("like another word", "30 mm\n", "30 mm\n  - {like: below, at: [0, 0]}\n", 11, "'below'", "above"),
    _changed("spots and a count", "[60 mm, 44 mm]\n    pitch: 30 mm", "[[9, 9], [50, 9], [90, 9]]", 6, "3 centres"),
    _cut("a cut of two shapes", "{hole: 9, slot: [9, 3], at: [9, 9]}", "one of hole, slot, window, outline and tie"),
    _cut("a cut of no shape", "{at: [9, 9]}", "one of hole, slot, window, outline and tie"),
    _cut("a cut without a place", "{hole: 9}", "'at' is missing"),
    _cut("a cut off the panel", "{hole: 9, at: [2, 9]}", "hole is not on the panel"),
    _cut("a slot that is upright", "{slot: 6 x 20 mm, at: [99, 44]}", "longer than wide"),
    _cut("a round that has a corner", "{hole: 9, corner: 2, at: [99, 44]}", "corner goes with window"),
    _cut("a window too round", "{window: 9 x 5 mm, corner: 3, at: [99, 44]}", "more than half of the window"),
    _cut("a tie nobody sells", "{tie: 6 mm, at: [99, 44]}", "cable tie 6 mm wide", "4.8 mm"),
    _cut("a cut closed by the coating", "{hole: 0.4, at: [99, 44]}", "closed by the coating"),
    _cut("a cut many times without a pitch", "{hole: 4, at: [99, 44], count: 3}", "needs a pitch"),
    _changed("a box and a rack", "rack_units: 2", "rack_units: 2\n  box: us-1", 2, "box goes with size"),
    _changed("a box nobody has", "rack_units: 2", "size: 90 x 90 mm\n  box: us-9", 4, "us-9", "did you mean us-"),
    _changed("off the panel", "[60 mm, 44 mm]", "[900 mm, 44 mm]", 9, "outside the panel"),
    _changed("same spot", "pitch: 30 mm", "pitch: 30 mm\n  - {part: blank-d, at: [60, 44]}", 11, "same spot"),
    _changed("a heap of places", "30 mm\n",
             "30 mm\n  - {part: blank-d, label: H, at: [9, 9], count: 20, pitch: 0.1 in}\n", 11, "lies over 10 other"),
    _changed("label twice", "30 mm\n", "30 mm\n  - {part: blank-d, label: MIC 1, at: [99, 44]}\n", 11, "twice"),
    _changed("bad angle", "pitch: 30 mm", "pitch: 30 mm\n    turn: 400", 11, "turn", "-360 to 360"),
    _changed("coated shut", "pitch: 30 mm", "pitch: 30 mm\n    cutout: {fixings: 0.4}", 11, "closed by the coating"),
    _changed("hole and outline", "30 mm\n", "30 mm\n    cutout: {hole: 24, outline: {round: 9}}\n", 11, "either"),
    _changed("no convex outline", "pitch: 30 mm",
             "pitch: 30 mm\n    cutout: {outline: {polygon: [[0, 0], [4, 0], [1, 1], [0, 4]]}}", 11, "not convex"),
    _changed("unknown outline", "pitch: 30 mm", "pitch: 30 mm\n    cutout: {outline: {star: 5}}", 11, "star"),
    _changed("a label with a control sign", "MIC {n}", '"MIC\\u0007"', 7, "printable"),
    _changed("a long title", "title: Test", f"title: {'x' * 200}", 1, "120"),
    _changed("a key twice", "count: 2", "count: 2\n    count: 3", 9, "twice"),
    _changed("an alias", "at: [60 mm, 44 mm]", "at: &spot [60 mm, 44 mm]", 9, "anchor"),
    _changed("a tag", "title: Test", "title: !!python/object:os.system Test", 1, "tag"),
    _changed("a list of places missing", GOOD[GOOD.index("places:") :], "places: []\n", 5, "places"),
    _changed("a part file outside", "places:", "parts: [../own.yaml]\nplaces:", 5, "outside the layout's folder"),
    _changed("an absolute part file", "places:", "parts: [/etc/hostname]\nplaces:", 5, "outside the layout's folder"),
    _changed("mask that is neither", "3 mm", "3 mm\n  mask_earth: perhaps", 5, "mask_earth"),
    _changed("unknown rack screw", "3 mm", "3 mm\n  rack_screw: M8", 5, "rack_screw", "M6"),
    _changed("spares beyond all", "places:", "hardware: {spares: 200}\nplaces:", 5, "spares", "100"),
    _changed("spares that are no number", "places:", "hardware: {spares: .nan}\nplaces:", 5, "spares"),
    _changed("unknown drive", "places:", "hardware: {drives: [square]}\nplaces:", 5, "drives", "slot"),
    _changed("unknown rivet", "places:", "hardware: {threads: [rivet 1/9 in]}\nplaces:", 5, "rivet 1/9 in"),
    _changed("prices elsewhere", "places:", "hardware: {prices: ../p.csv}\nplaces:", 5, "outside the layout's folder"),
    _changed("unknown air", "places:", "environment: jungle\nplaces:", 5, "jungle", "salt air"),
    _changed("a label that is blank", "MIC {n}", '"  "', 7, "label", "blank"),
    _changed("a title that is empty", "title: Test", "title:", 1, "title", "nothing is not text"),
    _changed("a label that is a truth value", "MIC {n}", "true", 7, "true is not text", "quotes"),
    _changed("a thread that is only a number", "30 mm\n", "30 mm\n    hardware: {screw: 5}\n", 11, "thread '5'"),
    _changed("a length no screw has", "30 mm\n", "30 mm\n    hardware: {length: 1}\n", 11, "1 mm", "3 mm"),
    _changed("a length for all places", "places:", "hardware: {length: 1}\nplaces:", 5, "in places.hardware"),
    _changed("a stray word", "places:", "hardware:   # c\n  stray\nplaces:", 5, "'stray'", "keys and values"),
    _changed("a hole larger than the panel", "30 mm\n", "30 mm\n    cutout: {hole: 600}\n", 11, "600 mm", "smaller"),
    _changed("the key of old", "30 mm\n", "30 mm\n    twist: 5\n", 11, "unknown key 'twist'", "part_turn"),
    _changed("a tag that would be ignored", "rack_units: 2", 'rack_units: !!int "2"', 3, "tag"),
    _changed("a tag on a key", "title: Test", "!!str title: Test", 1, "tag"),
    _changed("an anchor on a key", "title: Test", "&a title: Test", 1, "anchor"),
    _changed("a key that is a list", "title: Test", "title: Test\n? [a]\n: b", 2, "not a word"),
    _changed("a merge", "title: Test", "title: Test\n<<: {}", 2, "unknown key '<<'"),
    _changed("no pitch at all", "pitch: 30 mm", "pitch:", 10, "pitch"),
    _changed("no keys where keys should be", "panel:\n", "panel: []\nother:\n", 2, "panel", "keys and values"),
    _changed("a count that is empty", "count: 2", "count:", 8, "count is empty", "whole number"),
    _changed("a tab", "  rack_units", "\track_units", 3, "a tab stands", "spaces"),
    _changed("a tab after spaces", "    label", "    \tlabel", 7, "a tab stands"),
    _changed("braces first", "MIC {n}", "{n} MIC", 7, "braces stand in text", 'quotes around it: "MIC {n}"'),
    _changed("braces alone", "MIC {n}", "{n}", 7, "{n} is not text", "wants quotes"),
    _changed("braces within braces", GOOD[GOOD.index("  - part") :],
             "  - {part: xlr3-socket, label: MIC {n}, at: [60, 44]}\n", 6, "braces stand in text"),
    _changed("a bracket that stays open", GOOD[GOOD.index("  - part") :], "  - {part: xlr3-socket, at: [60, 44]\n", 6,
             "does not go on", "bracket closed"),
    _changed("a quote that stays open", "title: Test", 'title: "Test', 1, "opened and not closed"),
    _changed("a colon in a title", "title: Test", "title: Panel: new", 1, "a colon stands in text", "quotes"),
    _changed("no space after a colon", "title: Test", "title:Test", 1, "no space stands after the colon"),
    _changed("no space after a dash", "  - part", "  -part", 6, "no space stands after the dash"),
    _changed("a line that is out", "    label", "   label", 7, "does not go on", "indented alike"),
    _changed("one number for a size", "rack_units: 2", "size: 200", 3, "200 is not two lengths", "200 x 80 mm"),
    _changed("three numbers for a size", "rack_units: 2", "size: [200, 80, 3]", 3, "[200, 80, 3] is not two lengths"),
    _changed("a word for a size", "rack_units: 2", "size: large", 3, "'large' is not two lengths"),
    _changed("one number for a point", "[60 mm, 44 mm]", "60", 9, "60 is not two coordinates", "[60 mm, 44 mm]"),
    _changed("three numbers for a point", "[60 mm, 44 mm]", "[1, 2, 3]", 9, "[1, 2, 3] is not two coordinates"),
    _changed("a decimal comma", "3 mm", "1,5 mm", 4, "write 1.5 mm, with a point"),
    _changed("a number for keys", "pitch: 30 mm", "pitch: 30 mm\n    cutout: 24", 11, "such as {hole: 24 mm}"),
    _changed("a word for a place", GOOD[GOOD.index("places:") :], "places: xlr3-socket\n", 5, "such as {part: "),
    _changed("a wide coating", "3 mm", "3 mm\n  coating: 60", 5, "60, expected at most 1, such as 60 um"),
    _changed("half a rack unit in words", "rack_units: 2", "rack_units: 2.5U", 3, "'2.5U', expected a whole number"),
    _changed("a material of which there is none", "3 mm", "3 mm\n  material: wood", 5, "one of aluminium, steel"),
    _changed("a colour of which there is none", "3 mm", "3 mm\n  finish: powder coat\n  colour: pink", 6,
             "`dryfit explain colour` lists"),
    _changed("a word wrong twice", "30 mm\n", "30 mm\n  - {part: blnk-d, at: [90, 9]}\n  - {part: blnk-d, at: [9, 9]}",
             11, "unknown part 'blnk-d'", "did you mean blank-d?); so on line 12"),
    _row("a count within a row", "{gap: 3, count: 2}", "'count' stands in the wrong place, expected it in places"),
    _changed("a hole beside its cutout", "30 mm\n", "30 mm\n    hole: 24\n", 11, "expected it in places.cutout"),
    _changed("a material at the top", "title: Test", "title: Test\nmaterial: steel", 2, "expected it in panel"),
    _changed("an origin in the panel", "3 mm", "3 mm\n  origin: centre", 5, "expected it in no other key"),
    BadInput("two documents", GOOD + "---\ntitle: Test\n", 11, ("second document",)),
    BadInput("a control sign", "title: a\x07b\n", 1, ("not YAML", "printable")),
    BadInput("endless empty items", "title:\n" + "- \n" * 330_000, 100_000, ("holds too much",)),
    BadInput("endless empty items in one line", f"title: [{'~,' * 330_000}]\n", 1, ("holds too much",)),
    BadInput("endless keys", "".join(f"k{n}:\n" for n in range(90_000)), 1, ("unknown key 'k0'",)),
    BadInput("endless nesting", "a: " + "{a: " * 100_000, 1, ("holds too much",)),
    BadInput("empty", "", 1, ("empty",)),
    BadInput("only a comment", "# nothing\n", 1, ("empty",)),
    BadInput("a list", "- title\n", 1, ("has no keys",)),
    BadInput("not YAML", "title: [1,\npanel: }\n", 2, ("not YAML",)),
    BadInput("binary", b"title: \xff\xfe\n", 1, ("UTF-8",)),
    BadInput("too large", b"#" * 1_000_001, None, ("too large",)),
    BadInput("deep", "a: " + "[" * 60 + "]" * 60 + "\n", None, ("YAML",)),
    _part("negative part size", "thick: 2", "thick: -2", 5, "negative"),
    _part("unknown part key", "title: Mine", "titel: Mine", 3, "did you mean title?"),
    _part("no flange", "    flange: {outline: {box: [26, 31]}, thick: 2}\n", "", 2, "flange", "missing"),
    _part("corner too round", "{box: [26, 31]}", "{box: [26, 31], corner: 20}", 5, "corner"),
    _part("a name taken", "my-part:", "xlr3-socket:", 2, "taken"),
    _part("a plug nobody has", "cutout: {round: 24}", "cutout: {round: 24}\n    plugs: [no-such]", 7, "no-such"),
    _part("NaN in a part", "round: 24", "round: .nan", 6, "nan"),
    _part("no part at all", PART[PART.index("    title") :], "", 2, "my-part is empty", "keys and values"),
    _part("a polygon whose corners meet", "{round: 24}", "{polygon: [[0, 0], [4, 0], [2, 3]], corner: 5}", 6, "corner"),
    _part("a fixing hole off the flange", "cutout: {round: 24}",
          "cutout: {round: 24}\n    fixings:\n      hole: 3\n      panel: 3\n      at: [[80 mm, 0]]", 10, "(80, 0)"),
    _part("a latch without room", "cutout: {round: 24}", "cutout: {round: 24}\n"
          "    latch: {on: plug, at: [0, 0], height: 3, finger: {round: 5}, deep: 0}", 7, "latch.deep", "zero"),
    _part("a section of no thickness", "cutout: {round: 24}",
          "cutout: {round: 24}\n    rear: [{outline: {round: 3}, to: 1e-300}]", 7, "1e-300"),
    _part("a section that hardly is one", "cutout: {round: 24}",
          "cutout: {round: 24}\n    rear: [{outline: {round: 3}, from: 5, to: 5.00001}]", 7, "runs forward"),
    _part("a boss with a number for a thread", "cutout: {round: 24}", "cutout: {round: 24}\n    fixings:\n"
          "      at: [[9, 0]]\n      hole: 3\n      panel: 3\n      boss: {thread: 5, depth: 8}", 11, "thread '5'"),
    _part("a boss for no screw there is", "cutout: {round: 24}", "cutout: {round: 24}\n    fixings:\n"
          "      at: [[9, 0]]\n      hole: 3\n      panel: 3\n      boss: {forming: M3, depth: 8}", 11, "ST2.9"),
    BadInput("a plug without a body", WITH_PARTS, 10, ("body", "at least 1"),
             PART + "plugs:\n  mine:\n    title: P\n    body: []\n    travel: 3\n"),
    BadInput("a part file missing", WITH_PARTS, None, ("no such file",), ""),
)  # fmt: skip
