"""Small faults that a tired programmer makes, planted in a syntax tree one at a time.

A fault is a slot of the tree (one node) and what stands there instead. Slots are numbered in the order of the text,
so that a number names the same fault as long as the file is the same; what tells a fault apart for people is its
function and the text before and after.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import CodeType

TELLING = 1.5  # a number is changed by half of itself: far beyond rounding, still of the same order
SHORT = 100  # characters of text around a fault, so that it is known when it is seen
MESSAGES = ("says", "text", "source", "remedy")  # names that hold sentences
ASSURANCES = ("strict",)  # arguments that change nothing in a program without faults
NO_BEHAVIOUR = ("lru_cache", "dataclass")  # calls whose arguments are of speed, or of assurance
ALIASES = ("tuple", "Literal", "Callable", "dict", "frozenset", "Mapping")  # what a name for a type is made of

COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.LtE), ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,), ast.NotIn: (ast.In,),
}  # fmt: skip
COUNTED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
    ast.Pow: ast.Mult, ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd,
}  # fmt: skip
CALLED = {"min": "max", "max": "min", "any": "all", "all": "any", "sin": "cos", "cos": "sin", "ceil": "floor"}
NEEDLESS = ("abs", "reversed", "round", "sorted")  # calls that a careless hand leaves out
WORDS = (ast.JoinedStr, ast.Raise, ast.Assert, ast.Import, ast.ImportFrom)
LEAVING = (ast.Return, ast.Continue, ast.Break)


@dataclass(frozen=True)
class Fault:
    """One fault: where it is, what it makes of what, and the lines whose tests may notice it."""

    module: str  # path below the root
    slot: int
    choice: int
    function: str  # qualified name; empty at the top of the module
    line: int
    before: str
    after: str
    lines: tuple[int, ...]  # of a function; empty where the fault acts when the module is loaded
    name: str = ""  # the constant whose value is wrong, at the top of a module

    @property
    def key(self) -> tuple[str, str, str, str]:
        """What stays the same when lines shift."""
        return (self.module, self.function, self.before, self.after)


@dataclass(frozen=True)
class Parameter:
    """What a callable takes: name, type as written, and whether it may be left out."""

    name: str
    kind: str
    optional: bool


@dataclass
class Knowledge:
    """What the faults must know of the whole program to stay valid."""

    fields: dict[str, list[dict[str, str]]] = field(default_factory=dict)  # by field: the fields of each owner
    own: dict[str, dict[str, str]] = field(default_factory=dict)  # by class: its fields and properties
    takes: dict[str, list[tuple[Parameter, ...]]] = field(default_factory=dict)  # by name of function or class
    chained: set[str] = field(default_factory=set)  # methods that return another one of their own class

    def learn(self, tree: ast.Module) -> None:
        """Take in the classes and functions of a module."""
        for node in ast.walk(tree):
            if isinstance(node, ast.ClassDef):
                self._learn_class(node)
            elif isinstance(node, ast.FunctionDef):
                self.takes.setdefault(node.name, []).append(tuple(_parameters(node)))

    def _learn_class(self, node: ast.ClassDef) -> None:
        held = [n for n in node.body if isinstance(n, ast.AnnAssign) and isinstance(n.target, ast.Name)]
        self.takes[node.name] = [
            tuple(Parameter(ast.unparse(n.target), ast.unparse(n.annotation), n.value is not None) for n in held)
        ]
        members = {ast.unparse(n.target): ast.unparse(n.annotation) for n in held}
        for method in (n for n in node.body if isinstance(n, ast.FunctionDef) and n.returns is not None):
            kind = ast.unparse(method.returns)  # type: ignore[arg-type]
            if any("property" in ast.unparse(d) for d in method.decorator_list):
                members[method.name] = kind
            elif kind in (node.name, "Self"):
                self.chained.add(method.name)
        self.own[node.name] = members
        for name in members:
            self.fields.setdefault(name, []).append(members)

    def like(self, attribute: str, owner: str | None) -> Iterator[str]:
        """Yield the fields that could stand in its stead: of the same type, in every class that has it."""
        owners = [self.own[owner]] if owner in self.own else self.fields.get(attribute, [])
        if not owners or any(attribute not in members for members in owners):
            return
        for name, kind in owners[0].items():
            if (
                name != attribute
                and kind != "str"
                and all(members.get(name) == members[attribute] == kind for members in owners)
            ):
                yield name

    def parameters(self, name: str) -> tuple[Parameter, ...]:
        """Return what a function or class takes, if only one goes by the name."""
        known = self.takes.get(name, [])
        return known[0] if len(known) == 1 else ()


def _parameters(node: ast.FunctionDef) -> Iterator[Parameter]:
    args = node.args.posonlyargs + node.args.args
    first = len(args) - len(node.args.defaults)
    for n, arg in enumerate(args):
        if n > 0 or arg.arg not in ("self", "cls"):
            yield Parameter(arg.arg, ast.unparse(arg.annotation) if arg.annotation else "", n >= first)
    for arg, default in zip(node.args.kwonlyargs, node.args.kw_defaults, strict=True):
        yield Parameter(arg.arg, ast.unparse(arg.annotation) if arg.annotation else "", default is not None)


@dataclass(frozen=True)
class Slot:
    """One node where it hangs in its tree."""

    node: ast.AST
    above: tuple[ast.AST, ...]  # from the module down to its parent
    name: str  # of the parent's field
    index: int | None

    def put(self, node: ast.AST) -> None:
        """Hang another node here."""
        if self.index is None:
            setattr(self.above[-1], self.name, node)
        else:
            getattr(self.above[-1], self.name)[self.index] = node

    @property
    def function(self) -> ast.FunctionDef | None:
        """The innermost function about it."""
        return next((n for n in reversed(self.above) if isinstance(n, ast.FunctionDef)), None)

    @property
    def owner(self) -> str | None:
        """The class about it."""
        return next((n.name for n in reversed(self.above) if isinstance(n, ast.ClassDef)), None)


# --- where faults may be -------------------------------------------------------------------------------------------


def slots(tree: ast.Module) -> Iterator[Slot]:
    """Yield every node where a fault would change what the program does."""
    yield from _below(tree, ())


def _below(node: ast.AST, above: tuple[ast.AST, ...]) -> Iterator[Slot]:
    here = (*above, node)
    for name, value in ast.iter_fields(node):
        for index, child in enumerate(value if isinstance(value, list) else [value]):
            if isinstance(child, ast.AST) and not _harmless(child, name, node):
                yield Slot(child, here, name, index if isinstance(value, list) else None)
                yield from _below(child, here)


def _harmless(node: ast.AST, name: str, parent: ast.AST) -> bool:
    """Whether a node is a type, a message, an assurance or a matter of speed."""
    if name in ("annotation", "returns", "ctx", "op", "ops"):
        return True
    if isinstance(node, ast.Assign | ast.AnnAssign | ast.keyword):
        return _is_message(node) or (isinstance(parent, ast.Module) and _is_alias(node))
    if isinstance(node, ast.IfExp):
        return all(isinstance(arm, ast.JoinedStr) or _is_text(arm) for arm in (node.body, node.orelse))
    return isinstance(node, WORDS) or _is_needless(node)


def _is_needless(node: ast.AST) -> bool:
    """Whether a node is a function that makes a text, a docstring, or what only type checkers or caches see."""
    if isinstance(node, ast.FunctionDef):
        return node.returns is not None and ast.unparse(node.returns) == "str"
    if isinstance(node, ast.If):
        return ast.unparse(node.test) == "TYPE_CHECKING"
    if isinstance(node, ast.Call):
        return isinstance(node.func, ast.Name) and node.func.id in NO_BEHAVIOUR
    return isinstance(node, ast.Expr) and _is_text(node.value)


def _is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def _is_message(node: ast.Assign | ast.AnnAssign | ast.keyword) -> bool:
    if isinstance(node, ast.keyword):
        return node.arg in (*MESSAGES, *ASSURANCES)
    target = node.targets[0] if isinstance(node, ast.Assign) else node.target
    return isinstance(target, ast.Name) and target.id in MESSAGES


def _is_alias(node: ast.Assign | ast.AnnAssign | ast.keyword) -> bool:
    value = node.value
    return isinstance(value, ast.Subscript) and ast.unparse(value.value) in ALIASES


# --- what stands there instead -------------------------------------------------------------------------------------


def instead(slot: Slot, known: Knowledge) -> list[ast.AST]:
    """Return the faulty nodes that may stand in a slot."""
    return [new for kind, plant in PLANTERS if isinstance(slot.node, kind) for new in plant(slot, known)]


def _changed(node: ast.AST, **fields: object) -> ast.AST:
    other = copy.copy(node)
    for name, value in fields.items():
        setattr(other, name, value)
    return other


def _without(node: ast.AST, name: str, index: int) -> ast.AST:
    items = getattr(node, name)
    return _changed(node, **{name: items[:index] + items[index + 1 :]})


def _compare(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.Compare)
    for n, op in enumerate(slot.node.ops):
        for other in COMPARED[type(op)]:
            yield _changed(slot.node, ops=[*slot.node.ops[:n], other(), *slot.node.ops[n + 1 :]])


def _binary(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.BinOp)
    sides = (slot.node.left, slot.node.right)
    if any(isinstance(s, ast.JoinedStr | ast.List | ast.Tuple | ast.ListComp) or _is_text(s) for s in sides):
        return
    if type(slot.node.op) in COUNTED:
        yield _changed(slot.node, op=COUNTED[type(slot.node.op)]())
    if isinstance(slot.node.op, ast.Mod):
        yield slot.node.left


def _added(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.AugAssign)
    if type(slot.node.op) in COUNTED and not isinstance(slot.node.value, ast.List | ast.Tuple):
        yield _changed(slot.node, op=COUNTED[type(slot.node.op)]())
    yield ast.Pass()


def _unary(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.UnaryOp)
    yield slot.node.operand


def _joined(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.BoolOp)
    yield _changed(slot.node, op=ast.Or() if isinstance(slot.node.op, ast.And) else ast.And())
    for n in range(len(slot.node.values)):
        rest = slot.node.values[:n] + slot.node.values[n + 1 :]
        yield rest[0] if len(rest) == 1 else _changed(slot.node, values=rest)


def _constant(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.Constant)
    value = slot.node.value
    if isinstance(value, bool):
        yield ast.Constant(not value)
    elif isinstance(value, int):
        yield ast.Constant(value + 1)
    elif isinstance(value, float):
        yield ast.Constant(value * TELLING if value else 1.0)


def _choice(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.IfExp)
    yield _changed(slot.node, body=slot.node.orelse, orelse=slot.node.body)


def _filter(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.comprehension)
    for n in range(len(slot.node.ifs)):
        yield _without(slot.node, "ifs", n)


def _listed(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    """One of a list forgotten; of a tuple only where it has no fixed length."""
    assert isinstance(slot.node, ast.List | ast.Set | ast.Tuple)
    if isinstance(getattr(slot.node, "ctx", ast.Load()), ast.Store) or len(slot.node.elts) < 2:
        return
    words = len(slot.node.elts) > 2 and all(_is_text(e) for e in slot.node.elts)
    for n, element in enumerate(slot.node.elts):
        if isinstance(element, ast.Starred) or words or not isinstance(slot.node, ast.Tuple):
            yield _without(slot.node, "elts", n)


def _attribute(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.Attribute)
    called = isinstance(slot.above[-1], ast.Call) and slot.name == "func"
    if isinstance(slot.node.ctx, ast.Load) and not called:
        of_self = isinstance(slot.node.value, ast.Name) and slot.node.value.id == "self"
        for name in known.like(slot.node.attr, slot.owner if of_self else None):
            yield _changed(slot.node, attr=name)


def _call(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.Call)
    func, name = slot.node.func, _called(slot.node)
    if name in CALLED:
        other = {"id": CALLED[name]} if isinstance(func, ast.Name) else {"attr": CALLED[name]}
        yield _changed(slot.node, func=_changed(func, **other))
    if name in NEEDLESS and slot.node.args and isinstance(func, ast.Name):
        yield slot.node.args[0]
    if isinstance(func, ast.Attribute) and name in known.chained:
        yield func.value
    for n, word in enumerate(slot.node.keywords):
        if word.arg == "key" or _optional(known.parameters(name), word.arg):
            yield _without(slot.node, "keywords", n)
    yield from _arguments(slot.node, known.parameters(name))


def _called(call: ast.Call) -> str:
    return call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")


def _optional(takes: Sequence[Parameter], name: str | None) -> bool:
    return any(p.name == name and p.optional and p.kind != "str" for p in takes)


def _arguments(call: ast.Call, takes: Sequence[Parameter]) -> Iterator[ast.AST]:
    """Arguments by place: left out where they may be, or replaced by what means nothing."""
    if any(isinstance(a, ast.Starred) for a in call.args) or len(call.args) > len(takes):
        return
    for n, (argument, parameter) in enumerate(zip(call.args, takes, strict=False)):
        for neutral in _neutral(argument, parameter.kind):
            yield _changed(call, args=[*call.args[:n], neutral, *call.args[n + 1 :]])
    if call.args and takes[len(call.args) - 1].optional:
        yield _without(call, "args", len(call.args) - 1)


def _neutral(value: ast.expr, kind: str) -> Iterator[ast.expr]:
    """Yield what means nothing in a type, where that is something else than the value."""
    if kind == "bool":
        yield ast.UnaryOp(ast.Not(), value)
        return
    nothing: ast.expr | None = None
    if kind in ("float", "int"):
        nothing = ast.Constant(0.0 if kind == "float" else 0)
    elif kind.endswith("| None"):
        nothing = ast.Constant(None)
    elif kind.startswith("tuple[") and kind.endswith("...]"):
        nothing = ast.Tuple([], ast.Load())
    if nothing is not None and ast.unparse(nothing) != ast.unparse(value):
        yield nothing


def _returned(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.Return)
    function = slot.function
    if slot.node.value is not None and function is not None and function.returns is not None:
        for nothing in _neutral(slot.node.value, ast.unparse(function.returns)):
            yield _changed(slot.node, value=nothing)


def _stated(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    """A statement left out; a generator stays one."""
    assert isinstance(slot.node, ast.Expr)
    if isinstance(slot.node.value, ast.Yield | ast.YieldFrom):
        yield _changed(slot.node, value=ast.YieldFrom(ast.Tuple([], ast.Load())))
    else:
        yield ast.Pass()


def _guard(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    assert isinstance(slot.node, ast.If)
    if not slot.node.orelse and isinstance(slot.node.body[-1], LEAVING) and len(slot.node.body) <= 2:
        yield ast.Pass()


def _assigned(slot: Slot, known: Knowledge) -> Iterator[ast.AST]:
    """A second word on a name left out, so that the first one stands."""
    assert isinstance(slot.node, ast.Assign)
    function, target = slot.function, slot.node.targets[0]
    if function is None or not isinstance(target, ast.Name):
        return
    stored = [n for n in ast.walk(function) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)]
    named = {a.arg for a in function.args.args} | {n.id for n in stored if n.lineno < slot.node.lineno}
    if target.id in named:
        yield ast.Pass()


Planter = Callable[[Slot, Knowledge], Iterator[ast.AST]]

PLANTERS: tuple[tuple[type[ast.AST] | tuple[type[ast.AST], ...], Planter], ...] = (
    (ast.Compare, _compare),
    (ast.BinOp, _binary),
    (ast.AugAssign, _added),
    (ast.UnaryOp, _unary),
    (ast.BoolOp, _joined),
    (ast.Constant, _constant),
    (ast.IfExp, _choice),
    (ast.comprehension, _filter),
    ((ast.List, ast.Set, ast.Tuple), _listed),
    (ast.Attribute, _attribute),
    (ast.Call, _call),
    (ast.Return, _returned),
    (ast.Expr, _stated),
    (ast.If, _guard),
    (ast.Assign, _assigned),
)


# --- faults of a module --------------------------------------------------------------------------------------------


def faults(root: Path, module: str, known: Knowledge) -> list[list[Fault]]:
    """Return every fault that can be planted in a module, those of one slot together."""
    tree = ast.parse((root / module).read_text(encoding="utf-8"))
    found = []
    for number, slot in enumerate(slots(tree)):
        here = [_fault(module, number, choice, slot, new) for choice, new in enumerate(instead(slot, known))]
        if here:
            found.append(here)
    return found


def planted(root: Path, fault: Fault, known: Knowledge) -> CodeType:
    """Return the code of a module with a fault in it."""
    path = root / fault.module
    tree = ast.parse(path.read_text(encoding="utf-8"))
    slot = next(s for number, s in enumerate(slots(tree)) if number == fault.slot)
    slot.put(instead(slot, known)[fault.choice])
    for node in ast.walk(tree):  # what is new stands where the old one stood
        if isinstance(node, ast.expr | ast.stmt) and not hasattr(node, "lineno"):
            ast.copy_location(node, slot.node)
    return compile(ast.fix_missing_locations(tree), str(path), "exec")


def _fault(module: str, number: int, choice: int, slot: Slot, new: ast.AST) -> Fault:
    shown = _shown(slot)
    before = _text(shown)
    slot.put(new)
    after = _text(new if shown is slot.node else shown)
    slot.put(slot.node)
    names = [n.name for n in slot.above if isinstance(n, ast.FunctionDef | ast.ClassDef)]
    lines = _lines(slot)
    line = getattr(slot.node, "lineno", lines[0] if lines else getattr(slot.above[-1], "lineno", 1))
    return Fault(module, number, choice, ".".join(names), line, before, after, lines, _constant_name(slot))


def _shown(slot: Slot) -> ast.AST:
    """Return the largest piece of text about a slot that is still short, at most its statement."""
    shown = slot.node
    for node in reversed(slot.above):
        if isinstance(shown, ast.stmt) or isinstance(node, ast.arguments) or len(_text(node)) > SHORT:
            break
        shown = node
    return shown


def _text(node: ast.AST) -> str:
    if isinstance(node, ast.If | ast.While | ast.For | ast.With | ast.FunctionDef | ast.ClassDef):
        head = ast.unparse(node).split("\n", 1)[0]
        return head if len(head) <= SHORT else f"{head[:SHORT]}..."
    return ast.unparse(node)


def _lines(slot: Slot) -> tuple[int, ...]:
    function = slot.function
    if function is None or slot.node in function.decorator_list:
        return ()
    if slot.above[-1] is function.args or isinstance(slot.node, ast.FunctionDef):
        return tuple(range(function.body[0].lineno, (function.end_lineno or 0) + 1))
    node = next(n for n in (slot.node, *reversed(slot.above)) if hasattr(n, "lineno"))
    assert isinstance(node, ast.expr | ast.stmt | ast.keyword | ast.arg)
    last = node.end_lineno if not isinstance(node, ast.If) else node.test.end_lineno
    return tuple(range(node.lineno, (last or node.lineno) + 1))


def _constant_name(slot: Slot) -> str:
    for node in (slot.node, *slot.above):
        if isinstance(node, ast.Assign | ast.AnnAssign) and len(slot.above) >= 1:
            return target_name(node) if node in getattr(slot.above[0], "body", []) else ""
    return ""


def target_name(node: ast.Assign | ast.AnnAssign) -> str:
    """Return the name that a statement gives a value."""
    return ast.unparse(node.targets[0] if isinstance(node, ast.Assign) else node.target)
