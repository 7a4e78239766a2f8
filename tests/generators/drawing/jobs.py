"""Jobs made by hand for the drawing tests: 1, 8, 24 and 96 places, lips, coating, countersinks, other shapes."""

from __future__ import annotations

from dryfit.models.catalogue.parts import Fixings, Flange, Part, Section, Side
from dryfit.models.geometry.outlines import Outline, box, d_shape, polygon, round_, slot
from dryfit.models.job import Cutout, Job, Mounting, Place
from dryfit.models.panel import Panel
from dryfit.models.reading.fields import Countersink
from dryfit.models.tables.panels import Material

ALUMINIUM = Material("Aluminium 5052-H32", 2680, 70.3, 0.33, 193, 0.9, "metal", "test", "test")
STEEL = Material("Mild steel S235JR", 7800, 210, 0.3, 235, 0.85, "metal", "test", "test")

D_FIXINGS = ((-9.5, 12.0), (9.5, -12.0))
SINK = Countersink(diameter=6.3, angle=90)

XLR = Part(
    title="XLR, 3-pole, D flange",
    family="XLR",
    flange=Flange(outline=box(26, 31, 3), thick=2.0),
    cutout=round_(24),
    fixings=Fixings(at=D_FIXINGS, hole=3.2, panel=3.2, seat=Countersink(diameter=6.3)),
    rear=(
        Section(outline=round_(23.6), **{"from": 0, "to": 18}),
        Section(outline=box(12, 8), **{"from": 18, "to": 24}),
    ),
    mount=("front", "rear"),
)
DSUB_HOLE = polygon(((-10.3, 5.5), (10.3, 5.5), (8.4, -5.5), (-8.4, -5.5)), 1.5)
DSUB = Part(
    title="D-sub, 9-pole",
    family="D-sub",
    flange=Flange(outline=box(30.81, 12.55, 1), thick=1.0),
    cutout=DSUB_HOLE,
    fixings=Fixings(at=((-12.495, 0), (12.495, 0)), hole=3.1, panel=3.2),
    rear=(Section(outline=box(19.3, 10.5, 1.5), **{"from": 0, "to": 10}),),
)
BNC = Part(
    title="BNC, isolated",
    family="BNC",
    flange=Flange(outline=round_(14.5), thick=2.0),
    cutout=d_shape(12.9, 12.0),
    rear=(Section(outline=round_(12.7), **{"from": 0, "to": 16}),),
)
MAINS = Part(
    title="IEC C14 inlet",
    family="mains",
    flange=Flange(outline=box(50, 23, 2), thick=3.0),
    cutout=polygon(((-13.5, -9.5), (13.5, -9.5), (13.5, 4.5), (8.5, 9.5), (-8.5, 9.5), (-13.5, 4.5))),
    fixings=Fixings(at=((-20, 0), (20, 0)), hole=3.4, panel=3.4, seat=Countersink(diameter=6.7)),
    rear=(Section(outline=box(26.5, 18.5, 1), **{"from": 0, "to": 16}),),
    mains=True,
    earth=True,
)


def rack_panel(units: int, **more: object) -> Panel:
    """Return a rack panel of so many units with its four slots."""
    height = 44.45 * units - 0.79
    low = {1: 5.95, 2: 5.95}.get(units, 37.7)
    spots = [(x, y) for x in (-232.55, 232.55) for y in (low - height / 2, height / 2 - low)]
    slots = tuple(slot(10.3, 6.8).moved(*spot) for spot in spots)
    values = {"thickness": 3.0, "material": ALUMINIUM, "rack_units": units, "clear_width": 450.0} | more
    return Panel(width=482.6, height=height, rack_holes=slots, **values)  # type: ignore[arg-type]


def place(
    name: str,
    x: float,
    y: float,
    part: Part = XLR,
    kind: str = "xlr-3",
    *,
    turn: float = 0.0,
    mount: Side = "front",
    sink: Countersink | None = None,
    sunk_from: Side = "front",
    legend: str | None = None,
    fixing: float | None = None,
) -> Place:
    """Return a place whose cut-out is the one its part recommends."""
    at = part.fixings.at if part.fixings is not None else ()
    panel_hole = fixing or (part.fixings.panel if part.fixings is not None else 3.2)
    cut = Cutout(part.cutout, at, panel_hole, sink, sunk_from)
    text = name if legend is None else legend
    return Place(name, x, y, turn, Mounting(kind, part, mount, cut), text)


def one() -> Job:
    """A wall plate with one place."""
    panel = Panel(width=70.0, height=114.0, thickness=2.0, material=STEEL, corner=3.0)
    return Job("Wall plate", "plate.yaml", panel, (place("LINE IN", 0, 0),), revision="1")


def eight() -> Job:
    """A coated 1U panel of eight places of four kinds, one turned, one rear-mounted with rear countersinks."""
    xs = [-196 + i * 56 for i in range(8)]
    places = (
        place("MIC 1", xs[0], 0),
        place("MIC 2", xs[1], 0),
        place("SEND", xs[2], 0, mount="rear", sink=SINK),
        place("RETURN", xs[3], 0, mount="front", sink=SINK, sunk_from="rear"),
        place("CONTROL", xs[4], 0, DSUB, "dsub-9"),
        place("WORD CLOCK", xs[5], 0, BNC, "bnc"),
        place("TURNED", xs[6], 0, DSUB, "dsub-9", turn=90),
        place("MAINS", xs[7], 0, MAINS, "iec-c14"),
    )
    notes = ("Supply with protective film on the front.",)
    return Job("Stage box input panel", "stage.yaml", rack_panel(1, coating=0.06), places, notes=notes, revision="B")


def twenty_four() -> Job:
    """A 2U panel with lips and twenty-four places in two rows."""
    xs = [(i - 5.5) * 34 for i in range(12)]
    rows = [(x, y, r) for r, y in enumerate((19.0, -19.0)) for x in xs]
    places = tuple(place(f"IN {i + 1}", x, y) for i, (x, y, _) in enumerate(rows))
    return Job("Patch bay, 24 in", "patch.yaml", rack_panel(2, lip=12.0, bend_radius=3.0), places)


def ninety_six() -> Job:
    """A 6U panel with ninety-six places in six rows, touching flanges all but."""
    xs = [(i - 7.5) * 27.6 for i in range(16)]
    ys = [(2.5 - r) * 41.0 for r in range(6)]
    spots = [(x, y) for y in ys for x in xs]
    places = tuple(place(f"CH {i + 1}", x, y) for i, (x, y) in enumerate(spots))
    return Job("Studio wall, 96 channels", "wall.yaml", rack_panel(6, thickness=2.0, material=STEEL), places)


JOBS = {"1": one, "8": eight, "24": twenty_four, "96": ninety_six}


def lone_hole(outline: Outline, **cutout: object) -> Job:
    """Return a plain panel with one hole and nothing else."""
    part = Part(title="blank", family="test", flange=Flange(outline=round_(40), thick=1), cutout=outline)
    panel = Panel(width=100, height=60, thickness=2, material=ALUMINIUM)
    cut = Cutout(outline, (), 3.0, **cutout)  # type: ignore[arg-type]
    return Job("Test", "t.yaml", panel, (Place("P", 10, 5, 0, Mounting("k", part, "front", cut)),))


# --- panels that try a drawing ---------------------------------------------------------------------------------------


def tiny() -> Job:
    """A plate hardly larger than its one part, which is mounted from the rear with a countersunk panel."""
    panel = Panel(width=27.0, height=32.0, thickness=1.0, material=STEEL)
    return Job("Tiny", "t.yaml", panel, (place("A", 0, 0, mount="rear", sink=SINK),))


def portrait() -> Job:
    """A tall, narrow plate with lips, coating and two columns that do not stand level."""
    panel = Panel(width=90, height=700, thickness=2, material=STEEL, coating=0.08, lip=15, bend_radius=2, corner=0)
    spots = [(-20, y) for y in range(-300, 301, 60)] + [(22, y + 7) for y in range(-300, 301, 75)]
    places = tuple(place(f"WAY {n}", x, y, sink=SINK) for n, (x, y) in enumerate(spots, start=1))
    return Job("Portrait", "p.yaml", panel, places)


def large() -> Job:
    """A large plate with round corners and parts of all kinds, front and rear, none in line with another."""
    panel = Panel(width=1200, height=800, thickness=3, material=ALUMINIUM, corner=12)
    kinds = ((XLR, "xlr-3"), (DSUB, "dsub-9"), (BNC, "bnc"), (MAINS, "iec-c14"))
    spots = [(-520 + 97.3 * i, -340 + 83.7 * j + 3.1 * i) for i in range(11) for j in range(8)]
    places = tuple(
        place(f"POS {n}", x, y, *kinds[n % 4], turn=(0, 90, 45)[n % 3], mount="rear" if n % 8 == 0 else "front")
        for n, (x, y) in enumerate(spots)
    )
    return Job("Large", "l.yaml", panel, places)


def crowd() -> Job:
    """A wall of parts too large for any sheet at a scale that numbers could be read at, every seventh from the rear."""
    panel = Panel(width=1100, height=620, thickness=3, material=ALUMINIUM)
    spots = [(-515 + 27.2 * i, -260 + 40.0 * j) for j in range(13) for i in range(38)]
    places = tuple(
        place(f"W{n}", x, y, mount="rear" if n % 7 == 0 else "front") for n, (x, y) in enumerate(spots, start=1)
    )
    return Job("Crowd", "c.yaml", panel, places)


def staggered() -> Job:
    """Ninety-six small holes, no two above each other: more ordinates than any paper is wide."""
    spots = [(-220 + 4.6 * n, (-13, 0, 13)[n % 3]) for n in range(96)]
    places = tuple(place(f"T{n}", x, y, BNC, "bnc") for n, (x, y) in enumerate(spots))
    return Job("Staggered", "s.yaml", rack_panel(1), places)


def wordy() -> Job:
    """Texts as long as a layout allows, in letters of several scripts, and with markup."""
    long = 'Ünïcode <b>&amp; "quoted"</b> ⌀ Ωμέγα Журнал ' * 3
    spots = ((-100, "A" * 120), (-60, long[:120]), (-20, "=1+1"), (20, "x"))
    places = tuple(place(text, x, 0) for x, text in spots)
    return Job(long[:120], "w.yaml", rack_panel(2), places, notes=(long[:120], "W" * 120), revision="R" * 20)


HARD = {"tiny": tiny, "portrait": portrait, "large": large, "staggered": staggered, "wordy": wordy}
EVERY = JOBS | HARD
