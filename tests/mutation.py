"""How well the tests guard: small random faults are planted, and the tests are to find them.

``python tests/mutation.py`` plants 300 faults, one at a time, in a copy of the program, and tells the share that some
test finds, folder by folder, and every fault that none finds. Only tests that run the faulty line are run, those named
after its module first and quick ones before slow ones, up to the first that fails; which those are is recorded once.
Heavy libraries are loaded once, and every fault gets a fork of that process. Faults that change nothing a user could
see are listed with the reason in ``mutation.csv``.

Tests that start the program in a process of its own are seen to run no line, so they guard nothing here.
"""

from __future__ import annotations

import argparse
import ast
import compileall
import csv
import gc
import hashlib
import importlib.abc
import importlib.machinery
import importlib.util
import itertools
import json
import os
import random
import re
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, ModuleType
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
ACCEPTED = Path(__file__).with_suffix(".csv")
RECORD = ROOT / ".pytest_cache" / "mutation.json"  # which tests run which lines, for one state of the program
CORE = (
    "generators/checks", "generators/joints", "generators/clearance", "generators/remedies", "generators/hardware",
    "generators/bodies", "models/geometry",
)  # fmt: skip
GUARDS = (
    "tests/models", "tests/outside", "tests/generators/checks", "tests/generators/joints", "tests/generators/clearance",
    "tests/generators/remedies", "tests/generators/hardware", "tests/generators/bodies", "tests/generators/lists",
    "tests/generators/lettering",
)  # fmt: skip
"""Where the tests are that should find a fault in the core: drawings and files are tested by what they show."""
COPIED = ("models", "generators", "cli", "tests", "outputs", ".typing", "pyproject.toml", "README.md", "DEVELOPERS.md")
HEAVY = (
    "numpy", "pydantic", "ruamel.yaml", "click", "scipy.optimize", "scipy.sparse", "trimesh", "manifold3d", "ezdxf",
    "cadquery", "reportlab.pdfgen.canvas", "hypothesis", "pytest", "coverage", "lib3mf", "pypdfium2", "pyogrio",
    "matplotlib",
)  # fmt: skip
PROCESSES = 2
ENOUGH = 12.0  # s, as recorded, of tests run for one fault; one that only slower tests would find counts as not found
PATIENCE = 5.0  # times as long as the tests take without a fault may they take with one, then it counts as found
LEAST_PATIENCE = 20.0  # s
MEMORY = 12 * 2**30  # bytes of addresses; a fault that makes a list without end is found sooner
SURVIVED, FOUND = 0, (1, 2)  # how pytest ends: all passed; a test failed or could not be loaded
BROKEN = 99  # how a child ends when planting itself went wrong


def main(arguments: Sequence[str] | None = None) -> int:
    """Plant, run, tell. Ends with 1 where fewer faults are found than asked for."""
    wanted = _options(arguments)
    sys.path[:0] = [str(ROOT)]
    with tempfile.TemporaryDirectory() as name:
        copy = _copied(Path(name))
        _load_heavy(copy)
        record = _recorded(copy, wanted.keep)
        plan = Plan(copy, wanted.only or CORE)
        reasons = _accepted()
        chosen = plan.sample(wanted.seed, wanted.count)
        asked = [f for f in chosen if f.key not in reasons]
        print(
            f"{len(chosen)} of {plan.places} places, seed {wanted.seed}; {len(chosen) - len(asked)} accepted",
            flush=True,
        )
        ended = _run_all(copy, plan, asked, record, wanted.minutes)
        _tell([f for f in asked if f in ended], ended, reasons, plan)
    return int(_share(list(ended.values())) < wanted.least)


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    asks = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asks.add_argument("--seed", type=int, default=1)
    asks.add_argument("--count", type=int, default=300, help="faults to plant (300)")
    asks.add_argument("--only", action="append", metavar="FOLDER", help="folder or file to plant in (may be repeated)")
    asks.add_argument("--keep", action="store_true", help="keep what is recorded of older states, quick: a module that "
                      "has changed is taken to be run whole; fewer faults may be found, never more")  # fmt: skip
    asks.add_argument(
        "--minutes", type=float, default=600.0, help="plant no more after so long, and tell what was found"
    )
    asks.add_argument("--least", type=float, default=0.0, help="share to be found, 0 to 1; less ends with status 1")
    return asks.parse_args(arguments)


# --- the copy ------------------------------------------------------------------------------------------------------


def _copied(folder: Path) -> Path:
    """Copy the program, so that neither edits of it nor faults in it meet each other."""
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, folder / name, symlinks=True, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, folder / name)
    compileall.compile_dir(folder, quiet=2)
    return folder


def _load_heavy(copy: Path) -> None:
    """Load what costs time and is never faulty, so that every fork has it."""
    os.chdir(copy)
    os.environ["PYTHONPATH"] = str(copy / ".typing")
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
        os.environ[name] = "1"  # threads do not survive a fork
    sys.path[:] = [
        str(copy),
        str(copy / ".typing"),
        *(p for p in sys.path if p not in (str(ROOT), str(ROOT / "tests"))),
    ]
    for name in HEAVY:
        importlib.import_module(name)
    gc.collect()
    gc.freeze()


def _forked(work: Any, *given: Any) -> int:
    """Run work in a fork of this process, what it prints thrown away; return the number of the process."""
    sys.stdout.flush()
    child = os.fork()
    if child:
        return child
    try:
        os.setpgid(0, 0)
        nowhere = os.open(os.devnull, os.O_RDWR)
        os.dup2(nowhere, 0)
        os.dup2(nowhere, 1)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        os._exit(work(*given))
    except BaseException:
        traceback.print_exc()
        os._exit(BROKEN)


def _pytest(names: Iterable[str], plugin: object) -> int:
    """Run tests in this process, quietly, with the same random numbers every time."""
    import hypothesis
    import pytest

    quick = [hypothesis.Phase.explicit, hypothesis.Phase.generate]
    hypothesis.settings.register_profile("mutation", phases=quick, database=None, derandomize=True)
    hypothesis.settings.load_profile("mutation")
    switches = "-x -q --tb=no --assert=plain --import-mode=importlib -p no:cacheprovider -p no:xdist -p no:warnings"
    return int(pytest.main([*switches.split(), *names], plugins=[plugin]))


# --- which tests run which lines -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Record:
    """For every test function how long it takes, s, and which lines of which module it runs."""

    seconds: dict[str, float]
    lines: dict[str, dict[int, list[str]]]  # module, line, tests

    def of(self, module: str, lines: Iterable[int] = ()) -> set[str]:
        """Return the tests that run one of the lines, or any line of the module."""
        known = self.lines.get(module, {})
        return {test for line in (lines or known) for test in known.get(line, ())}


def _recorded(copy: Path, keep: bool = False) -> Record:
    """Return the record of this state of the program.

    Only files of tests are run for it that are new or changed, or that run a module that has changed.
    """
    kept = json.loads(RECORD.read_text(encoding="utf-8")) if RECORD.is_file() else {}
    paths = sorted(path for folder in GUARDS for path in (copy / folder).rglob("test_*.py"))
    data = _hash(copy, (p for p in (copy / "models").rglob("*") if p.suffix != ".py"))
    now = {str(p.relative_to(copy)): data + _hash(copy, _with_helpers(copy, p)) for p in paths}
    files = {n: kept[n] for n in now if n in kept and (keep or kept[n]["state"][:64] == data)}
    files = {n: known for n, known in files.items() if known["state"][64:] == now[n][64:]}
    files = {n: known for n, known in files.items() if keep or not _changed(copy, known)}
    missing = [name for name in now if name not in files]
    if missing:
        begin = time.monotonic()
        found = _record_anew(copy, missing)
        for name in missing:
            tests = found.get(name, {})
            ran = {module for told in tests.values() for module in told["lines"]}
            modules = {module: _hash(copy, [copy / module]) for module in sorted(ran)}
            files[name] = {"state": now[name], "modules": modules, "tests": tests}
        RECORD.parent.mkdir(exist_ok=True)
        RECORD.write_text(json.dumps(files), encoding="utf-8")
        print(f"tests of {len(missing)} files recorded in {time.monotonic() - begin:.0f} s", flush=True)
    tests = {test: _whole(copy, told, _changed(copy, f)) for f in files.values() for test, told in f["tests"].items()}
    for name in (name for name, told in tests.items() if not told["passed"]):
        print(f"left out, for it fails in a copy: {name}")
    return _as_record({name: told for name, told in tests.items() if told["passed"]})


def _changed(copy: Path, kept: dict[str, Any]) -> set[str]:
    """Return the modules that a file of tests runs that have changed since it was recorded."""
    return {module for module, known in kept["modules"].items() if _hash(copy, [copy / module]) != known}


def _whole(copy: Path, told: dict[str, Any], changed: set[str]) -> dict[str, Any]:
    """Return what a test does, every line of a module that has changed taken to be run."""
    here = [module for module in told["lines"] if module in changed and (copy / module).is_file()]
    lines = {module: numbers for module, numbers in told["lines"].items() if module not in changed}
    for module in here:
        lines[module] = list(range(1, (copy / module).read_text(encoding="utf-8").count("\n") + 1))
    return {**told, "lines": lines}


def _record_anew(copy: Path, files: Sequence[str]) -> dict[str, dict[str, Any]]:
    """Return what every test function of some files does, by file and by name."""
    folder = copy / "recorded"
    folder.mkdir()
    for number, file in enumerate(
        files
    ):  # each in a process of its own: what a module starts at its import stays there
        os.waitpid(_forked(_pytest, [file], Recorder(copy, folder, number)), 0)
    found: dict[str, dict[str, Any]] = {}
    for path in folder.iterdir():
        name, told = json.loads(path.read_text(encoding="utf-8"))
        found.setdefault(name.split("::")[0], {})[name] = told
    shutil.rmtree(folder)
    return found


def _with_helpers(copy: Path, path: Path) -> set[Path]:
    """Return a file of tests and the other files of tests that it imports, and those that they import."""
    found, waiting = set(), [path]
    while waiting:
        found.add(waiting.pop())
        named = {
            m for p in found for m in re.findall(r"^from (tests\.[\w.]+) import", p.read_text("utf-8"), re.MULTILINE)
        }
        files = {(copy / name.replace(".", "/")).with_suffix(".py") for name in named}
        waiting += [p for p in files - found if p not in waiting]
    return found


def _hash(copy: Path, paths: Iterable[Path]) -> str:
    told = hashlib.sha256()
    for path in sorted(p for p in paths if p.is_file() and "__pycache__" not in p.parts):
        told.update(str(path.relative_to(copy)).encode() + path.read_bytes())
    return told.hexdigest()


def _as_record(tests: dict[str, Any]) -> Record:
    lines: dict[str, dict[int, list[str]]] = {}
    for name, told in tests.items():
        for module, numbers in told["lines"].items():
            for number in numbers:
                lines.setdefault(module, {}).setdefault(number, []).append(name)
    return Record({name: told["seconds"] for name, told in tests.items()}, lines)


class Recorder:
    """Runs every test function in a fork of its own, with nothing remembered, and writes down the lines it runs."""

    def __init__(self, copy: Path, folder: Path, number: int):
        self.copy, self.folder, self.number = copy, folder, number

    def pytest_runtestloop(self, session: Any) -> bool:
        """Run the tests in place of pytest's own loop."""
        groups: dict[str, list[Any]] = {}
        for item in session.items:
            groups.setdefault(item.nodeid.split("[")[0], []).append(item)
        running: set[int] = set()
        for number, (name, items) in enumerate(groups.items()):
            while len(running) >= PROCESSES:
                running.discard(os.wait()[0])
            running.add(_forked(self._record, name, items, self.folder / f"{self.number}-{number}.json"))
        while running:
            running.discard(os.wait()[0])
        return True

    def _record(self, name: str, items: Sequence[Any], path: Path) -> int:
        import coverage

        watch = coverage.Coverage(data_file=None, config_file=False, include=[f"{self.copy}/*"])
        begin = time.process_time()
        watch.start()
        for item, following in zip(items, [*items[1:], None], strict=True):
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        watch.stop()
        seconds = time.process_time() - begin
        data, lines = watch.get_data(), {}
        for file in data.measured_files():
            module = str(Path(file).resolve().relative_to(self.copy.resolve()))
            if not module.startswith("tests"):
                lines[module] = sorted(data.lines(file) or ())
        told = {"seconds": seconds, "passed": not items[0].session.testsfailed, "lines": lines}
        path.write_text(json.dumps([name, told]), encoding="utf-8")
        return 0


# --- which faults --------------------------------------------------------------------------------------------------


class Plan:
    """Every fault that could be planted in some folders."""

    def __init__(self, root: Path, folders: Sequence[str]):
        from tests.planting import Knowledge, faults

        self.root, self.known = root, Knowledge()
        self.trees = {
            str(path.relative_to(root)): ast.parse(path.read_text(encoding="utf-8"))
            for folder in ("models", "generators")
            for path in sorted((root / folder).rglob("*.py"))
        }
        for tree in self.trees.values():
            self.known.learn(tree)
        modules = [m for m in self.trees if any(m == f or m.startswith(f"{f.rstrip('/')}/") for f in folders)]
        self.choices = [choice for module in modules for choice in faults(root, module, self.known)]

    @property
    def places(self) -> int:
        """How many places a fault can be planted in."""
        return len(self.choices)

    def sample(self, seed: int, count: int) -> list[Any]:
        """Return that many faults at random, each in a place of its own."""
        chance = random.Random(seed)
        places = chance.sample(self.choices, min(count, len(self.choices)))
        return [chance.choice(place) for place in places]

    def tests(self, fault: Any, record: Record) -> list[str]:
        """Return the tests that may find a fault: its module's own, then its folder's, the quick ones first."""
        found = record.of(fault.module, fault.lines) if fault.lines else set()
        if fault.name:
            found = {test for module, lines in self._users(fault.name) for test in record.of(module, lines)}
        if not found and not fault.lines:
            found = record.of(fault.module)
        near, own = f"tests/{Path(fault.module).parent}/", f"test_{Path(fault.module).stem}"
        ordered = sorted(found, key=lambda test: (not test.startswith(near), own not in test.split("::")[0],
                                                  record.seconds[test], test))  # fmt: skip
        summed = itertools.accumulate(record.seconds[test] for test in ordered)
        return [test for test, seconds in zip(ordered, summed, strict=True) if seconds <= ENOUGH]

    def _users(self, name: str) -> Iterator[tuple[str, range]]:
        """Yield the functions that use a constant, or another constant made of it."""
        from tests.planting import target_name

        names, seen = [name], set()
        while names:
            wanted = names.pop()
            seen.add(wanted)
            for module, tree in self.trees.items():
                for statement in tree.body:
                    if isinstance(statement, ast.Assign | ast.AnnAssign) and _mentions(statement.value, wanted):
                        names += [name for name in [target_name(statement)] if name not in seen]
                for node in ast.walk(tree):
                    if isinstance(node, ast.FunctionDef) and _mentions(node, wanted):
                        yield module, range(node.body[0].lineno, (node.end_lineno or 0) + 1)


def _mentions(node: ast.AST | None, name: str) -> bool:
    return node is not None and any(
        (isinstance(n, ast.Name) and n.id == name) or (isinstance(n, ast.Attribute) and n.attr == name)
        for n in ast.walk(node)
    )


# --- faults planted ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Ended:
    """How it went with one fault: whether it was found, how many tests might have, and how long it took, s."""

    found: bool
    tests: int
    seconds: float


def _run_all(copy: Path, plan: Plan, faults: Sequence[Any], record: Record, minutes: float) -> dict[Any, Ended]:
    """Plant the faults, a few at a time, as long as there is time; return how each ended."""
    waiting, ended = list(reversed(faults)), {}
    last = time.monotonic() + 60 * minutes
    running: dict[int, tuple[Any, int, float, float]] = {}
    while waiting or running:
        if time.monotonic() > last:
            waiting.clear()
        while waiting and len(running) < PROCESSES:
            fault = waiting.pop()
            tests, now = plan.tests(fault, record), time.monotonic()
            if tests:
                patience = max(LEAST_PATIENCE, PATIENCE * sum(record.seconds[t] for t in tests))
                child = _forked(_plant, copy, fault, plan.known, tests)
                running[child] = (fault, len(tests), now, now + patience)
            else:
                ended[fault] = Ended(False, 0, 0.0)
        for child, code in _finished(running):
            fault, count, begin, _ = running.pop(child)
            if code not in (SURVIVED, *FOUND) and code > 0:
                raise RuntimeError(f"planting ended with {code}: {fault}")
            ended[fault] = Ended(code != SURVIVED, count, time.monotonic() - begin)
            if not ended[fault].found:
                print(f"  not found: {_line(fault)}", flush=True)
    return ended


def _finished(running: dict[int, tuple[Any, int, float, float]]) -> Iterator[tuple[int, int]]:
    """Yield processes that have ended, with how; one that takes too long is ended."""
    time.sleep(0.01)
    for child, (_, _, _, latest) in list(running.items()):
        if time.monotonic() > latest:
            os.killpg(child, signal.SIGKILL)
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            yield child, os.waitstatus_to_exitcode(status)


def _plant(copy: Path, fault: Any, known: Any, tests: Sequence[str]) -> int:
    """Run tests on the program with a fault; this process is never used again."""
    from tests.planting import planted

    name = "dryfit." + ".".join(Path(fault.module).with_suffix("").parts)
    sys.meta_path.insert(0, Planted(name.removesuffix(".__init__"), copy / fault.module, planted(copy, fault, known)))
    files = sorted({test.split("::")[0] for test in tests})
    return _pytest(files, Chosen(tests))


class Planted(importlib.abc.MetaPathFinder, importlib.abc.InspectLoader):
    """Finds and loads one module, its code with a fault."""

    def __init__(self, name: str, path: Path, code: CodeType):
        self.name, self.path, self.code = name, path, code

    def find_spec(self, fullname: str, path: object, target: ModuleType | None = None) -> Any:
        """Find this one module."""
        return (
            importlib.util.spec_from_file_location(fullname, self.path, loader=self) if fullname == self.name else None
        )

    def get_code(self, fullname: str) -> CodeType:
        """Return the faulty code."""
        return self.code

    def get_source(self, fullname: str) -> str:
        """Return the text without the fault."""
        return self.path.read_text(encoding="utf-8")


class Chosen:
    """Keeps the chosen test functions only, in their order."""

    def __init__(self, tests: Sequence[str]):
        self.order = {name: n for n, name in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[Any]) -> None:
        """Choose and sort."""
        kept = [item for item in items if item.nodeid.split("[")[0] in self.order]
        items[:] = sorted(kept, key=lambda item: self.order[item.nodeid.split("[")[0]])


# --- what is told --------------------------------------------------------------------------------------------------


def _accepted() -> dict[tuple[str, str, str, str], str]:
    """Return the reasons why some faults need no test, by key."""
    with ACCEPTED.open(encoding="utf-8", newline="") as stream:
        rows = csv.DictReader(stream)
        return {(r["module"], r["function"], r["before"], r["after"]): r["reason"] for r in rows}


def _tell(asked: Sequence[Any], ended: dict[Any, Ended], reasons: Iterable[Any], plan: Plan) -> None:
    """Print the share found by folder, what was not found, and reasons that speak of no fault any more."""
    folders = sorted({str(Path(f.module).parent) for f in asked})
    print(f"\n{'folder':28} planted  found  share")
    for folder in folders:
        of = [ended[f] for f in asked if str(Path(f.module).parent) == folder]
        print(f"{folder:28} {len(of):7} {sum(e.found for e in of):6} {_share(of):6.0%}")
    everything = list(ended.values())
    print(f"{'all':28} {len(everything):7} {sum(e.found for e in everything):6} {_share(everything):6.0%}\n")
    for fault in (f for f in asked if not ended[f].found):
        print(f"{_line(fault)}\n    in {fault.function or 'the module'}, run by {ended[fault].tests} test functions")
    now = Counter(f.key for choices in plan.choices for f in choices)
    looked_at = {f.module for choices in plan.choices for f in choices}
    for key in reasons:
        if key not in now and (key[0] in looked_at or not (ROOT / key[0]).is_file()):
            print(f"mutation.csv: no such fault any more: {', '.join(key)}")


def _line(fault: Any) -> str:
    return f"{fault.module}:{fault.line}: {fault.before}\n    -> {fault.after}"


def _share(ended: Sequence[Ended]) -> float:
    return sum(e.found for e in ended) / len(ended) if ended else 1.0


if __name__ == "__main__":
    sys.exit(main())
