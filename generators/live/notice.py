"""The pages as they are handed out: a panel's with how it stands, and the list of panels."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from urllib.parse import quote

from dryfit.generators.live.states import Mistake, State
from dryfit.generators.page.document import Listed, table
from dryfit.generators.page.front_view import sign
from dryfit.generators.page.markup import Element, element
from dryfit.generators.page.page import Live, bare_page, page
from dryfit.models.findings import Verdict

WAY = "/panel/"
"""What the address of a panel's page begins with."""

MOST_SHOWN = 6  # mistakes with their lines; further ones are counted, so that the panel stays in sight

NO_FILES: tuple[Listed, ...] = ()


def address(name: str) -> str:
    """Return the address of a panel's page."""
    return WAY + quote(name)


def panel_page(name: str, state: State, number: int, listed: bool) -> str:
    """Return the page of a panel; ``listed``: there is a list of panels to go back to."""
    live = Live(number, _notice(state, listed))
    if state.report is not None:
        return page(state.report, NO_FILES, live)
    return bare_page(name, live, element("header", element("h1", name)))


def _notice(state: State, listed: bool) -> Element:
    way_back = [element("p", element("a", "All panels", href="/"), class_="back")] if listed else []
    return element("section", *way_back, *_standing(state), id="live", role="status", aria_label="As saved")


def _standing(state: State) -> Iterable[Element]:
    if state.mistakes:
        rest = (
            "Below is the panel as it was before." if state.report is not None else "It is shown as soon as it can be."
        )
        yield element("p", element("strong", "What was saved cannot be built. "), rest)
        yield element("ol", *(_mistake(mistake) for mistake in state.mistakes[:MOST_SHOWN]), class_="mistakes")
        if len(state.mistakes) > MOST_SHOWN:
            yield element("p", f"And {len(state.mistakes) - MOST_SHOWN} more mistakes.")
    elif state.whole:
        yield element("p", "Checked in full, as saved.", class_="standing")
    else:
        yield element("p", "Checked by exact gaps, as saved; meshes and remedies follow.", class_="standing")


def _mistake(mistake: Mistake) -> Element:
    fault = mistake.fault
    where = fault.file if fault.line is None else f"{fault.file}, line {fault.line}"
    wanted = f" Expected {fault.expected}." if fault.expected else ""
    nearest = f" Did you mean {fault.nearest}?" if fault.nearest else ""
    lines = [
        element(
            "span",
            element("span", f"{line.number}", class_="number"),
            element("mark" if line.wrong else "span", line.text),
            class_="line-of-file",
        )
        for line in mistake.lines
    ]
    said = element("p", element("b", where), f": {fault.what}.{wanted}{nearest}")
    return element("li", said, *([element("code", *lines)] if lines else []))


def list_page(title: str, states: Mapping[str, State], number: int) -> str:
    """Return the page that lists the panels of a folder."""
    rows = [_row(name, state) for name, state in states.items()]
    heads = ("Layout", "Panel", "Verdict", "Says")
    told = table("Panels", heads, rows) if rows else element("p", "There is no layout in this folder yet.")
    notice = element("section", element("h2", "Panels"), told, id="live")
    return bare_page(title, Live(number, notice), element("header", element("h1", title)))


def _row(name: str, state: State) -> tuple[str | Element, ...]:
    report = state.report
    return (
        element("a", name, href=address(name)),
        report.job.title if report is not None else "",
        _verdict(state),
        str(state.mistakes[0].fault) if state.mistakes else _counted(state),
    )


def _verdict(state: State) -> Element:
    if state.mistakes or state.report is None:
        return element("span", state.verdict or "being checked")
    return element("span", sign(state.report.verdict), f" {state.report.verdict}")


def _counted(state: State) -> str:
    if state.report is None:
        return ""
    bad = [finding for finding in state.report.findings if finding.is_bad]
    fails = sum(finding.verdict is Verdict.FAILS for finding in bad)
    return f"{fails} fail, {len(bad) - fails} tight, at {len(state.report.job.places)} places."
