"""Every finding and assumption of the engine can be said in French, also those that no demo job shows.

The sentences are read out of the engine's own source: whatever is written into the text or the source of a
finding is gathered, its figures and names are filled with a number, and the catalogue is asked for it. So a
new finding without a French sentence fails here, whether or not a demo job has it.
"""

import ast
import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import pytest

from app.documents.words import is_said, words_of
from app.settings import ROOT

FILLER = "7"
MOST = 96
DEEPEST = 8
FILES = sorted((ROOT / "app" / "takeoff").rglob("*.py"))
FIELDS = {
    "Finding": ("code", "grade", "place", "text", "value", "limit", "unit", "source", "at_mm"),
    "Assumption": ("code", "text", "source"),
}
_WORD = re.compile(r"[A-Za-z]{3,}")
_PAIR = re.compile(r"\b([A-Za-z]{3,}) (?=([A-Za-z]{3,})\b)")
# A number that fills the place of a whole sentence, which is said by itself.
_FILLS_A_SENTENCE = re.compile(rf"^{FILLER} (?=[A-Z][a-z])|(?<=\.)(?: ?{FILLER})+(?= [A-Z]|$)")

# What a name is set to, in order; and whether that is added to what it was.
Names = dict[str, list[tuple[bool, ast.expr]]]


@dataclass
class Module:
    """One file of the engine: its functions, what it keeps by name, and what its functions are given."""

    tree: ast.Module
    functions: dict[str, ast.FunctionDef] = field(default_factory=dict)
    kept: Names = field(default_factory=dict)
    given: dict[str, Names] = field(default_factory=dict)


def read(file: Path) -> Module:
    found = Module(ast.parse(file.read_text(encoding="utf-8")))
    for node in found.tree.body:
        if isinstance(node, ast.FunctionDef):
            found.functions[node.name] = node
        elif isinstance(node, ast.Assign):
            _put(found.kept, node.targets[0], node.value)
    for call in ast.walk(found.tree):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in found.functions:
            asked = [one.arg for one in found.functions[call.func.id].args.args]
            named = {word.arg: word.value for word in call.keywords if word.arg}
            for name, value in {**dict(zip(asked, call.args, strict=False)), **named}.items():
                if isinstance(value, ast.Constant):
                    found.given.setdefault(call.func.id, {}).setdefault(name, []).append((False, value))
    return found


def set_in(function: ast.FunctionDef, module: Module) -> Names:
    """Give what each name of a function is set to or given, added to, or given to keep."""
    found: Names = dict(module.kept) | dict(module.given.get(function.name, {}))
    for node in ast.walk(function):
        if isinstance(node, ast.Assign):
            _put(found, node.targets[0], node.value)
        elif isinstance(node, ast.AnnAssign) and node.value is not None:
            _put(found, node.target, node.value)
        elif isinstance(node, ast.AugAssign):
            _put(found, node.target, node.value, is_added=True)
        elif (
            isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "append"
        ):
            _put(found, node.func.value, node.args[0])
    return found


def _put(found: Names, target: ast.expr, value: ast.expr, *, is_added: bool = False) -> None:
    if isinstance(target, ast.Name):
        found[target.id] = [*found.get(target.id, []), (is_added, value)]
    elif isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple):
        for one, its in zip(target.elts, value.elts, strict=False):
            _put(found, one, its)


def texts(node: ast.expr, names: Names, module: Module, deep: int = 0) -> list[str]:
    """Give the texts a piece of source can be, figures and names of things filled; none: it is no text."""
    again = partial(texts, names=names, module=module, deep=deep + 1)
    found: list[str] = []
    if deep > DEEPEST:
        return found
    if isinstance(node, ast.Constant):
        found = [node.value] if isinstance(node.value, str) else []
    elif isinstance(node, ast.BinOp):
        found = _joined([again(one) or [FILLER] for one in (node.left, node.right)])
    elif isinstance(node, ast.JoinedStr):
        found = _joined([again(one) or [FILLER] for one in node.values])
    elif isinstance(node, ast.Call):
        found = _called(node, names, module, deep)
    elif isinstance(node, ast.Name):
        for is_added, value in names.get(node.id, []):
            more = again(value)
            found += _joined((found, more)) if is_added else more
    else:
        found = [text for one in _one_of(node) for text in again(one)]
    return found[:MOST]


def _one_of(node: ast.expr) -> list[ast.expr]:
    """Give the pieces of source one of which a piece is."""
    if isinstance(node, ast.IfExp):
        return [node.body, node.orelse]
    if isinstance(node, ast.BoolOp | ast.Dict):
        return list(node.values)
    if isinstance(node, ast.Tuple | ast.List):
        return list(node.elts)
    if isinstance(node, ast.GeneratorExp | ast.ListComp):
        return [node.elt]
    return [node.value] if isinstance(node, ast.FormattedValue | ast.Subscript | ast.Starred) else []


def _called(call: ast.Call, names: Names, module: Module, deep: int) -> list[str]:
    """Give what a function of the module gives back, or what is joined."""
    if isinstance(call.func, ast.Name) and call.func.id in module.functions:
        function = module.functions[call.func.id]
        inner = set_in(function, module)
        steps = [one.value for one in ast.walk(function) if isinstance(one, ast.Return) and one.value]
        return [text for step in steps for text in texts(step, inner, module, deep + 1)]
    if isinstance(call.func, ast.Attribute) and call.func.attr == "join" and call.args:
        return texts(call.args[0], names, module, deep + 1)
    return []


def _joined(parts: Sequence[list[str]]) -> list[str]:
    return ["".join(one) for one in itertools.islice(itertools.product(*parts), MOST)]


def said_by(file: Path) -> Iterator[tuple[str, str, str]]:
    """Give the code, the kind and each text of every finding and assumption of a file."""
    module = read(file)
    for function in (node for node in ast.walk(module.tree) if isinstance(node, ast.FunctionDef)):
        names = set_in(function, module)
        for call in ast.walk(function):
            if not (
                isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in FIELDS
            ):
                continue
            given = dict(zip(FIELDS[call.func.id], call.args, strict=False))
            given |= {word.arg: word.value for word in call.keywords if word.arg}
            code = "/".join(texts(given["code"], names, module)) or ast.unparse(given["code"])
            for kind in ("text", "source"):
                if kind in given:
                    for text in texts(given[kind], names, module):
                        yield code, kind, _FILLS_A_SENTENCE.sub("", text).strip()


def is_sentence(text: str) -> bool:
    """Whether a text has two words of ours or more in it."""
    return len(_WORD.findall(text)) >= 2 and bool(re.search(r"[a-z]{3}", text))


def left_in(text: str) -> set[tuple[str, str]]:
    """Give the pairs of English words that stand in the French of a text."""
    pairs = [set(_PAIR.findall(one)) for one in (text, words_of("fr")(text))]
    return pairs[0] & pairs[1]


SAID = sorted({one for file in FILES for one in said_by(file) if is_sentence(one[2])})


def test_the_engine_says_enough_for_this_test_to_mean_something() -> None:
    codes = {code for code, *_ in SAID}
    assert len(codes) > 100
    assert {"layout.steps", "roughin.voltage-low"} <= codes


@pytest.mark.parametrize("code", sorted({code for code, *_ in SAID}))
def test_every_text_of_a_finding_has_one_in_french(code: str) -> None:
    english = [text for one, _, text in SAID if one == code and not is_said("fr", text)]
    assert not english, "add what they say in French to templates/documents/words/fr.po"
    left = {text: left_in(text) for one, kind, text in SAID if one == code and kind == "text"}
    assert not {text: pairs for text, pairs in left.items() if pairs}, "a part of it has no French"


def test_several_sentences_are_said_one_by_one_and_a_place_never_swallows_a_sentence() -> None:
    say = words_of("fr")
    steps = "step-1 climbs 540 mm in 3 risers of 180.0 mm. Its treads are 240 mm deep, less than 254 mm. "
    assert say(f"{steps}The local code decides.") == (
        "step-1 monte de 540 mm en 3 hauteurs de 180,0 mm. Ses marches ont 240 mm de profondeur, moins que "
        "254 mm. Le code local décide."
    )
    assert not is_said("fr", "Nobody translated this one. The local code decides.")
    worst = (
        "The worst place of the roof is at (1, 2): 3 kPa dead over 4 mm each way (main 3); 2 kPa is allowed "
    )
    said = say(f"{worst}there. 12 squares are over. A licensed engineer decides.")
    assert said.endswith("2 kPa y sont admis. 12 carrés dépassent. Un ingénieur agréé décide.")
