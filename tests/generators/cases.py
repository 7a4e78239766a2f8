"""Panels whose answer is worked out by hand, the arithmetic beside each: what must not be called a fit, and what must.

Panels are 120 x 120 mm aluminium with the part at the middle, unless said. Lengths mm, x and y from the lower left
corner. Parts that the catalogue does not have stand in ``OWN_PARTS``.
"""

from __future__ import annotations

from dataclasses import dataclass

REFUSED = "refused"  # the layout is wrong: an error of input, exit status 2


@dataclass(frozen=True)
class Case:
    """One layout and what must come of it.

    ``verdicts`` are the answers allowed for ``place`` (the worst of ``checks``, or of all checks where none is named);
    ``measured`` is what one of these checks must have measured, mm; ``length`` the screw that must be chosen.
    """

    name: str
    places: str
    verdicts: tuple[str, ...]
    checks: tuple[str, ...] = ()
    panel: str = "{size: [120, 120], thickness: 3}"
    rest: str = ""
    measured: float | None = None
    length: float | None = None
    place: str = "A"


def at(part: str, x: float = 60, y: float = 60, label: str = "A", **keys: str) -> str:
    """Return one list item of ``places``."""
    extra = "".join(f", {key}: {value}" for key, value in keys.items())
    return f"  - {{part: {part}, label: {label}, at: [{x}, {y}]{extra}}}\n"


def _sheet(thickness: float, extra: str = "", width: float = 120, height: float = 120) -> str:
    return f"{{size: [{width}, {height}], thickness: {thickness}{', ' + extra if extra else ''}}}"


FAILS = ("fails",)
NOT_FITS = ("tight", "fails")
NOT_FAILS = ("fits", "tight")
FAILS_OR_REFUSED = ("fails", REFUSED)
PASSING = ("goes-in", "cutout-size")
LAND = ("land", "washer-land", "head-seat", "nut-room")
ROOM = ("goes-in", "body-room", "nut-room", "land", "washer-land")

_BLOCK = """\
    flange: {outline: {box: [26 mm, 31 mm], corner: 3 mm}, thick: 2.0 mm}
    cutout: {round: 24 mm}
    fixings: {at: [[-9.5 mm, 12 mm], [9.5 mm, -12 mm]], hole: 3.3 mm, panel: 3.2 mm"""
OWN_PARTS = f"""\
parts:
  block-behind-barrel:     # a block 18 x 18 behind a barrel of 23.6
    title: Inlet whose block is larger than its hole
    family: mains
{_BLOCK}}}
    rear:
      - {{outline: {{round: 23.6 mm}}, from: 0 mm, to: 16 mm}}
      - {{outline: {{box: [18 mm, 18 mm]}}, from: 16 mm, to: 34 mm}}
  collar-ahead:            # mounted from the rear, its collar of 26 is to come through a hole of 24
    title: Socket with a collar in front
    family: test
{_BLOCK}}}
    cutout_rear: {{round: 24 mm}}
    front:
      - {{outline: {{round: 23 mm}}, from: 0 mm, to: 5 mm}}
      - {{outline: {{round: 26 mm}}, from: 5 mm, to: 8 mm}}
    mount: [rear]
  front-ring:              # a ring of 26 stands on the flange beside the screws
    title: Socket with a wide front ring
    family: test
    flange: {{outline: {{box: [38 mm, 38 mm], corner: 3 mm}}, thick: 2.0 mm}}
    cutout: {{round: 24 mm}}
    fixings: {{at: [[-9.5 mm, 12 mm], [9.5 mm, -12 mm]], hole: 3.3, panel: 3.2, seat: {{diameter: 6.4, angle: 90}}}}
    front:
      - {{outline: {{round: 26 mm}}, from: 0 mm, to: 4 mm}}
    rear:
      - {{outline: {{round: 23 mm}}, from: 0 mm, to: 10 mm}}
  tapped-flange:           # the screw comes from behind the panel
    title: Socket with a tapped flange
    family: test
    flange: {{outline: {{box: [26 mm, 31 mm], corner: 3 mm}}, thick: 5.0 mm}}
    cutout: {{round: 24 mm}}
    fixings:
      at: [[-9.5 mm, 12 mm], [9.5 mm, -12 mm]]
      hole: 2.5 mm
      panel: 3.2 mm
      boss: {{thread: M3, depth: 4.0 mm, material: metal}}
    rear:
      - {{outline: {{round: 20 mm}}, from: 0 mm, to: 10 mm}}
  close-fixings:           # two fixing holes 5.9 apart
    title: Socket with close fixing holes
    family: test
    flange: {{outline: {{box: [40 mm, 20 mm]}}, thick: 2.0 mm}}
    cutout: {{round: 10 mm, at: [-8 mm, 0 mm]}}
    fixings: {{at: [[9.05 mm, 0 mm], [14.95 mm, 0 mm]], hole: 3.3 mm, panel: 3.2 mm}}
    rear:
      - {{outline: {{round: 9 mm, at: [-8 mm, 0 mm]}}, from: 0 mm, to: 5 mm}}
  upright-fixings:         # two fixing holes 6.2 apart, one above the other
    title: Socket with close fixing holes, one above the other
    family: test
    flange: {{outline: {{box: [40 mm, 20 mm]}}, thick: 2.0 mm}}
    cutout: {{round: 10 mm, at: [-8 mm, 0 mm]}}
    fixings: {{at: [[12 mm, 3.1 mm], [12 mm, -3.1 mm]], hole: 3.3 mm, panel: 3.2 mm}}
    rear:
      - {{outline: {{round: 9 mm, at: [-8 mm, 0 mm]}}, from: 0 mm, to: 5 mm}}
  wide:                    # 104.8 wide, its nuts 47 off its axis
    title: Wide strip
    family: test
    flange: {{outline: {{box: [104.8 mm, 14 mm]}}, thick: 2.0 mm}}
    cutout: {{box: [60 mm, 8 mm]}}
    fixings: {{at: [[-47 mm, 0 mm], [47 mm, 0 mm]], hole: 3.3 mm, panel: 3.2 mm}}
    rear:
      - {{outline: {{box: [59 mm, 7 mm]}}, from: 0 mm, to: 5 mm}}
  off-centre:              # its barrel stands 0.25 off its axis, with 0.4 of play in 24
    title: Socket with an off-centre barrel
    family: test
{_BLOCK}}}
    rear:
      - {{outline: {{round: 23.6 mm, at: [0.25 mm, 0 mm]}}, from: 0 mm, to: 10 mm}}
  thin-flange:
    title: Plate with a flange of 2
    family: test
    flange: {{outline: {{box: [26 mm, 31 mm]}}, thick: 2.0 mm}}
    cutout: {{round: 20 mm}}
    fixings: {{at: [[-9.5 mm, 12 mm], [9.5 mm, -12 mm]], hole: 3.3 mm, panel: 3.2 mm}}
    rear:
      - {{outline: {{round: 18 mm}}, from: 0 mm, to: 3 mm}}
  thick-flange:
    title: Plate with a flange of 6
    family: test
    flange: {{outline: {{box: [26 mm, 31 mm]}}, thick: 6.0 mm}}
    cutout: {{round: 20 mm}}
    fixings: {{at: [[-9.5 mm, 12 mm], [9.5 mm, -12 mm]], hole: 3.3 mm, panel: 3.2 mm}}
    rear:
      - {{outline: {{round: 18 mm}}, from: 0 mm, to: 3 mm}}
"""

CASES = (
    # --- no silence: a wish that nothing meets ---------------------------------------------------------------------
    # M3 has no narrow nut in any table: there is no screw in the list, so nothing holds the part.
    Case(
        "a wished nut that M3 does not have",
        at("xlr3-socket", hardware="{screw: M3, nut: narrow}"),
        FAILS_OR_REFUSED,
        panel=_sheet(3, "coating: 0.06"),
    ),
    # ST2.9 forms its own thread in plastic or sheet: no nut exists for it, and the part has no boss.
    Case(
        "a thread-forming screw as the only thread",
        at("xlr3-socket"),
        FAILS_OR_REFUSED,
        rest="hardware: {threads: [ST2.9]}",
    ),
    Case(
        "a tooth-washer nut that M2.5 does not have",
        at("xlr3-socket", hardware="{screw: M2.5, nut: tooth-washer nut}"),
        FAILS_OR_REFUSED,
    ),
    # No hexagon socket stands in the table of No. 4-40 heads.
    Case(
        "a drive that No. 4-40 does not have",
        at("xlr3-socket"),
        FAILS_OR_REFUSED,
        rest="hardware: {threads: [No. 4-40], drives: [hexagon socket]}",
    ),
    # 11 mm stands in no list of lengths.
    Case(
        "a length that nobody sells",
        at("xlr3-socket", hardware="{screw: M3, length: 11 mm}"),
        FAILS_OR_REFUSED,
    ),
    # --- on its way ------------------------------------------------------------------------------------------------
    # 18 * sqrt(2) = 25.456 across the corners; the hole is 24: 1.456 too big.
    Case("a block larger than its own hole", at("block-behind-barrel"), FAILS, PASSING, measured=-1.456),
    # From the rear the collar comes through first: 24 - 26 = -2.
    Case(
        "a collar ahead of a smaller hole",
        at("collar-ahead", mount="rear"),
        FAILS,
        PASSING,
        measured=-2.0,
    ),
    # --- land ------------------------------------------------------------------------------------------------------
    # 7.2 - 2 * 0.06 = 7.08: the tooth washer of 6.0 and the nut of 6.35 over its corners fall through.
    Case(
        "washer and nut fall through the fixing hole",
        at("iec-c14-inlet", cutout="{fixings: 7.2 mm}", hardware="{screw: M3, nut: hexagon, washers: [tooth]}"),
        FAILS,
        LAND,
        panel=_sheet(3, "coating: 0.06, mask_earth: true"),
    ),
    # The nut is 22 over flats and 25.4 over corners: six tips of 0.7 are all that bears on a hole of 24.
    Case("a gland's nut bears on its tips alone", at("gland-m16", cutout="{hole: 24 mm}"), FAILS, LAND),
    # Nut 12.7 over flats, washer 14: nothing lies on a hole of 14.
    Case("a bush nut falls through", at("bnc-bush", cutout="{hole: 14 mm}"), FAILS, LAND),
    # Set, the rivet is 1.5 * 3.25 = 4.9 across behind: nothing holds it in a hole of 6.
    Case(
        "a rivet pulls through a hole that is too large",
        at("block-behind-barrel", hardware="{screw: rivet 1/8 in}", cutout="{fixings: 6 mm}"),
        FAILS,
        ("land",),
        panel=_sheet(2),
    ),
    # --- no wholesale exclusions -------------------------------------------------------------------------------------
    # hypot(9.5, 12) = 15.305; ring 13, head of M3 2.75: 15.305 - 13 - 2.75 = -0.445.
    Case(
        "a head in the part's own front ring",
        at("front-ring", hardware="{screw: M3, head: countersunk}"),
        FAILS,
        measured=-0.445,
    ),
    # Lip inside at y = 1.5, flange 31.1 high at most: 15.9 - 15.55 = 0.35: 1.15 inside the lip, and 2.15 in the round
    # of its bend.
    Case(
        "a body in the lip",
        at("combination-jack-forming", y=15.9, mount="rear"),
        FAILS,
        panel=_sheet(1.5, "lip: 20, bend_radius: 1", 120, 80),
        measured=-2.15,
    ),
    # Lip inside at 80 - 2 = 78. The nut, 26 over flats, reaches 66 + 13 = 79 with a flat to it, 81.01 with a corner.
    Case("a gland's nut in the lip", at("gland-m20", y=66), FAILS, panel=_sheet(2, "lip: 15, bend_radius: 1", 120, 80)),
    # 7.4 / 2 = 3.7; 15.305 - 12 - 3.7 = -0.395: the cone runs out into the main hole.
    Case(
        "a countersink into the main hole",
        at("xlr3-socket", mount="rear", cutout="{countersink: {diameter: 7.4, angle: 90}}"),
        FAILS,
        checks=("web", "land", "head-seat"),
        measured=-0.395,
    ),
    # Nut axes 31.06 - 2 * 12.495 = 6.07 apart; M3 nuts are 6.35 over corners, 5.5 over flats: they go only turned.
    Case(
        "nuts of two places, corner to corner",
        at("dsub-9", 44.47, plug="none", hardware="{screw: M3, nut: hexagon, washers: []}")
        + at("dsub-9", 75.53, plug="none", label="B", hardware="{screw: M3, nut: hexagon, washers: []}"),
        NOT_FITS,
        ("body-room", "nut-room"),
        panel=_sheet(1.5),
    ),
    # Corner circles of 6.35 on axes 5.9 apart; a driver of 8.3 on one nut meets the other: 5.9 - 4.15 - 3.175 = -1.425.
    Case(
        "nuts of one part, corner to corner",
        at("close-fixings", hardware="{screw: M3, nut: hexagon, washers: []}"),
        NOT_FITS,
        ("body-room", "nut-room"),
    ),
    # Tooth washers of 6.0 on axes 5.9 apart run 0.1 into each other.
    Case(
        "washers of one part run into each other",
        at("close-fixings", hardware="{screw: M3, nut: hexagon, washers: [tooth]}"),
        FAILS,
    ),
    # The wide part's nut stands at 47 +/- 2.75 of its axis, the lamp's bush of 6 at 50 +/- 3.
    Case("a part wider than the neighbourhood looked at", at("wide") + at("indicator", 110, label="B"), FAILS, ROOM),
    # --- cones centre ----------------------------------------------------------------------------------------------
    # Holes 0.2 further out along their line (no turn helps): (3.2 - 2.98) / 2 - 0.2 = -0.09.
    Case(
        "a cone forgives no flange play",
        at(
            "xlr3-socket",
            hardware="{screw: M3, head: countersunk}",
            cutout="{fixings: 3.2, at: [[-9.6241, 12.1568], [9.6241, -12.1568]]}",
        ),
        FAILS,
        ("hole-pattern",),
        measured=-0.09,
    ),
    # Holes 18.5 apart: (19 - 18.5) / 2 = 0.25 off against (3.2 - 2.98) / 2 = 0.11.
    Case(
        "holes 18.5 apart under cones",
        at("xlr3-socket", hardware="{screw: M3, head: countersunk}", cutout="{fixings: 3.2, across: 18.5, up: 24}"),
        FAILS,
        ("hole-pattern",),
        measured=-0.14,
    ),
    # --- the sheet as it is ----------------------------------------------------------------------------------------
    # Punched 3.2 + 2 * 0.06 = 3.32: its edge lies at 17.5 - 12 - 1.66 = 3.84; the bend begins at 2 + 2 = 4.
    Case(
        "a hole in the bend",
        at("xlr3-socket", y=17.5),
        FAILS,
        ("web",),
        panel=_sheet(2, "coating: 0.06, lip: 15, bend_radius: 2", 120, 80),
    ),
    # Corner centre at (30, 30): hypot(17, 17) = 24.04; 30 - 24.04 - 8 = -2.04.
    Case(
        "a hole over a round corner",
        at("gland-m16", 13, 13, cutout="{hole: 16 mm}"),
        FAILS,
        ("web",),
        panel=_sheet(3, "corner: 30"),
        measured=-2.04,
    ),
    # The body ends 28 behind the flange, the wall stands 15 + 3 behind the front face.
    Case(
        "a body deeper than the room behind",
        at("loudspeaker-4"),
        FAILS,
        ("rear-room", "body-room"),
        panel=_sheet(3, "depth: 15 mm"),
    ),
    # Body 13 wide, 5 from the edge: 6.5 - 5 = 1.5 over it; washer 12: 1 over it.
    Case(
        "a toggle over the edge of a plain panel",
        at("toggle", 5, 60, mount="rear"),
        NOT_FITS,
        ("body-room", "land", "washer-land"),
    ),
    # --- bosses ----------------------------------------------------------------------------------------------------
    # The boss is threaded M3; No. 6-32 is 3.5 thick.
    Case(
        "a thread that is not the boss's",
        at("combination-jack-threaded", mount="rear", hardware="{screw: No. 6-32, length: 5/16 in, head: pan}"),
        FAILS_OR_REFUSED,
    ),
    # 8 - 3 - 2 * 0.5 = 4.0 in the boss, not 5.0.
    Case(
        "two plain washers under the head at a boss",
        at(
            "combination-jack-threaded",
            mount="rear",
            hardware="{screw: M3, length: 8, head: pan, washers: [plain, plain]}",
        ),
        (*NOT_FAILS, REFUSED),
        ("screw-length",),
        measured=4.0,
    ),
    # 2 of panel and 4 of thread: 5 engages 3 (1 d) and stops 1 above the floor; 4 engages 2, 6 stands on the floor.
    Case(
        "a tapped flange takes its screw from behind",
        at("tapped-flange"),
        NOT_FAILS,
        panel=_sheet(2),
        length=5.0,
    ),
    # --- fails, though it goes ---------------------------------------------------------------------------------------
    # 10 - 2.12 = 7.88 of 8.6; 12 would stand on the floor, 8 engages 5.88 < 2 * 3.
    Case(
        "a forming screw of 10 in 2.12",
        at("combination-jack-forming", mount="rear"),
        NOT_FAILS,
        ("screw-length", "screw-bottoms"),
        panel=_sheet(2, "coating: 0.06"),
        length=10.0,
    ),
    # 10 - 2.5 = 7.5 of 8.6.
    Case(
        "a forming screw of 10 in 2.5",
        at("combination-jack-forming", mount="rear"),
        NOT_FAILS,
        ("screw-length", "screw-bottoms"),
        panel=_sheet(2.5),
        length=10.0,
    ),
    # Nuts reach 40 - 20 - 3.175 = 16.825 from the edge of the panel, the rail 16.3 (482.6 - 450) / 2: 0.52 clear.
    Case(
        "a flange in front of a rail",
        at("iec-c14-inlet", 40, 44),
        NOT_FAILS,
        ("body-room", "goes-in"),
        panel="{rack_units: 2, thickness: 3, mask_earth: true}",
    ),
    # Barrel 29.5 - 11.8 = 17.7, fixing hole 29.5 - 9.5 - 3.175 = 16.825: both clear of 16.3.
    Case(
        "a plug turned in front of a rail",
        at("loudspeaker-4", 29.5, 44),
        NOT_FAILS,
        ("body-room", "goes-in"),
        panel="{rack_units: 2, thickness: 3}",
    ),
    # (24 - 23.6) / 2 = 0.2 a side; 0.25 off its axis, so a shift of 0.05 to 0.45 lets it in; the screws forgive 0.27.
    Case(
        "an off-centre barrel that a shift lets in",
        at("off-centre"),
        NOT_FAILS,
        ("cutout-size", "hole-pattern", "goes-in"),
    ),
    # 5.5 over flats: 0.7 between flats, though corners drawn up and down would lap by 6.2 - 6.35 = -0.15.
    Case(
        "nuts 6.2 apart go with flats facing",
        at("upright-fixings", hardware="{screw: M3, nut: hexagon, washers: []}"),
        NOT_FAILS,
        ("body-room", "nut-room"),
    ),
    # The cut-out's chamfer runs along x + y = 18.0; the nose, corners of 3, reaches 9 + 4.9 + 3 * sqrt(2) = 18.14, but
    # a real one has the chamfer of its own (IEC 60320).
    Case(
        "a plug whose nose is chamfered",
        at(
            "iec-c14-inlet",
            cutout="{outline: {polygon: [[-13.4, 4.6], [-13.4, -9.6], [13.4, -9.6], [13.4, 4.6], [8.4, 9.6], "
            "[-8.4, 9.6]]}}",
        ),
        NOT_FAILS,
        ("plug-seats", "body-room", "goes-in"),
    ),
    # --- the optimum is the optimum ----------------------------------------------------------------------------------
    # Grip 4 and 8; nut 3.175; 1 pitch 0.635: from 7.81 and 11.81. 1/2 in = 12.7 ends 8.7 and 2.4 pitches past the nut.
    Case(
        "one length serves both flanges",
        at("thin-flange", 40) + at("thick-flange", 80, label="B"),
        NOT_FAILS,
        ("screw-length",),
        panel=_sheet(2),
        length=12.7,
        rest="hardware: {threads: [No. 4-40], heads: [pan], retention: tooth-washer nut}",
    ),
)

REMEDIES = (
    # Turned to find its holes, the old-pitch socket runs into both blanks, which stand 27 off it: flanges are 26 wide.
    Case(
        "turning it runs into both neighbours",
        at("blank-d", 73) + at("xlr3-socket-old-pitch", 100, label="B") + at("blank-d", 127, label="C"),
        FAILS,
        panel=_sheet(3, "holes: d-hole", 200),
        place="B",
    ),
    # Two overlapping sockets: 69.5 / 2 + 30 / 2 = 49.75 wanted across, 24 there; 6.28 + 9 = 15.28 up, 14 there.
    Case(
        "two overlapping sockets",
        at("dsub-37", 80, 60) + at("din-5", 104, 74, label="B"),
        FAILS,
        panel=_sheet(1.5),
    ),
    # From the front the barrel of 23.876 does not pass 23.9 - 0.12 = 23.78; from the rear no finger reaches the latch.
    Case(
        "the other side has no room either",
        at("xlr5-socket", mount="rear", cutout="{hole: 23.9 mm}"),
        NOT_FITS,
        panel=_sheet(3, "coating: 0.06"),
    ),
    # The body, 28.336 x 10.97, wants a round hole of 30.4; fixing holes stand at 16.66: 16.66 - 15.3 - 1.6 = -0.24.
    Case(
        "a larger hole runs into its own fixing hole", at("dsub-15", cutout="{hole: 24 mm}"), FAILS, panel=_sheet(1.5)
    ),
    # The finger reaches 10 + 3 + 6 = 19 up. The next flange, as thick as the latch is high, comes down to 32 - 15.5,
    # and may be 0.1 mm higher: 2.55 are wanted.
    Case(
        "a finger lacks 2.5 mm beside the next flange",
        at("xlr3-socket", 60, 44) + at("loudspeaker-4", 60, 76, label="B"),
        FAILS,
        ("latch-reach",),
        measured=-2.55,
    ),
)
