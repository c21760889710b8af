"""Every message of the package, read from its source: Python by its syntax tree, Kivy's layouts call by call."""

import ast
import re
from dataclasses import dataclass
from pathlib import Path
from string import Formatter

import checkapp

PACKAGE = Path(checkapp.__file__).parent
IDS = {"tr": 1, "trn": 2, "trp": 2, "later": 1}
"""Functions that take messages, and how many of their arguments must be written out."""


@dataclass(frozen=True)
class Call:
    """One call of a function that takes messages."""

    where: str
    function: str
    words: tuple[str | None, ...]
    """The arguments that must be written out; None for one that is not."""
    fields: frozenset[str] | None
    """Names that it fills in; None when they cannot be read from the source."""

    @property
    def context(self):
        return self.words[0] if self.function == "trp" else None

    @property
    def ids(self):
        """Singular, and plural where there is one."""
        return self.words[1:] if self.function == "trp" else self.words


def calls():
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        if path.parent.name != "tongue" or path.name == "words.py":
            found += _in_tree(ast.parse(path.read_text(encoding="utf-8")), path, 0)
    for path in sorted(PACKAGE.rglob("*.kv")):
        found += _in_layout(path)
    return found


def plain_words():
    """Where a layout shows words that no catalogue can have."""
    shown = re.compile(r"\s*(?:text|word|title|hint_text|label|words|more|detail):(.*)")
    said = re.compile(
        r"""(?:tr|trn|shown_word)\((?:"[^"]*"|[^()"]|\([^()]*\))*\)|(?:==|!=|in) "[^"]*"|\w+_of\("[a-z]*"\)"""
    )
    for path in sorted(PACKAGE.rglob("*.kv")):
        for number, row in enumerate(path.read_text(encoding="utf-8").split("\n"), 1):
            found = shown.match(row)
            texts = re.findall(r'"([^"]*)"', said.sub("", found[1])) if found else []
            if any(re.search("[A-Za-z]{2}", text) for text in texts):
                yield f"{path.name}:{number} {row.strip()}"


def fields_of(text):
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}


def _in_layout(path):
    text = path.read_text(encoding="utf-8")
    found = []
    for start in re.finditer(r"(?<![\w.])(tr|trn|trp)\(", text):
        above = text.count("\n", 0, start.start())
        found.append(next(_in_tree(ast.parse(_whole_call(text, start.start())), path, above)))
    return found


def _whole_call(text, start):
    for end in (match.end() for match in re.finditer(r"\)", text[start:])):
        try:
            ast.parse(text[start : start + end])
        except SyntaxError:
            continue
        return text[start : start + end]
    raise AssertionError(f"a call that does not end: {text[start : start + 60]}")


def _in_tree(tree, path, above):
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in IDS:
            named = [keyword.arg for keyword in node.keywords]
            count = {"count"} if node.func.id == "trn" else set()
            yield Call(
                f"{path.relative_to(PACKAGE)}:{above + node.lineno}",
                node.func.id,
                tuple(_written_out(argument) for argument in node.args[: IDS[node.func.id]]),
                None if None in named else frozenset(count | set(named)),
            )


def _written_out(node):
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None
