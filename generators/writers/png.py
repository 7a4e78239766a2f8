"""Pictures of the assembly, all of a build drawn in one process."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from dryfit.generators.looks.scenes import View, scenes
from dryfit.generators.looks.views import VIEWS, bad, close_up
from dryfit.generators.report import Report
from dryfit.generators.writers.offscreen import render
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole

CLOSE_UPS = "close-ups/"
PURPOSES = {
    "front": "The panel from the front.",
    "three-quarter": "The panel from the front and above, without plugs.",
    "plugs": "The panel with its plugs in.",
    "rear": "What is behind the panel.",
    "apart": "Everything pulled apart along its axis.",
}
"""What each view of the whole panel is for, in the order of telling."""


def pictures(order: Order) -> dict[str, bytes]:
    """Return all pictures of a report by their file names."""
    views = {f"{name}.png": view for name, view in VIEWS.items()}
    for number, finding in enumerate(bad(order.report), start=1):
        views[f"{CLOSE_UPS}{number:02}-{finding.check}.png"] = close_up(order.report, finding)
    sized = {name: _sized(view, order) for name, view in views.items()}
    return render(scenes(order.report, sized, order.transparent))


def _sized(view: View, order: Order) -> View:
    return view if order.size is None else replace(view, size=order.size)


def _something_is_bad(report: Report) -> bool:
    return bool(bad(report))


def _whole(order: Order, path: Path) -> None:
    """Write one of the pictures of the whole panel, by its name."""
    write_whole(path, order.once(pictures)[path.name])


for _name, _purpose in PURPOSES.items():
    file_kind("pictures", f"{_name}.png", _purpose)(_whole)


@file_kind("pictures", CLOSE_UPS, "A close look at everything that does not fit, cut open.", when=_something_is_bad)
def _close_ups(order: Order, folder: Path) -> None:
    made = order.once(pictures)
    folder.mkdir(exist_ok=True)
    for name, picture in made.items():
        if name.startswith(CLOSE_UPS):
            write_whole(folder / name.removeprefix(CLOSE_UPS), picture)
