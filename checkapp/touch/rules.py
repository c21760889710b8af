"""The rules of layouts, worked out without a word for the toolkit's log.

The toolkit writes out every value that a rule comes to, and the rule, whether anybody keeps its log or not. A tap on
the walk sets some 80 rules off.
"""

from typing import Any, Final

from kivy.lang import builder

_KNOWN: Final = ("args", "instance", "v", "element", "key", "value", "rule", "idmap", "e_value")
"""The names in the function that is replaced, in Kivy 2.3.1."""
_TOOLKITS: Final = builder.call_fn


def work_out(args: Any, _instance: object, _value: object) -> None:
    """Give a widget what a rule comes to, as the toolkit does.

    ``args``: widget, name of what is set, the rule as code, the rule with its count, and the names that it may use.
    """
    element, key, value, rule, names = args
    rule.count += 1
    setattr(element, key, eval(value, names))


def work_out_quietly() -> bool:
    """Do so in all layouts that are built from now on; False: the toolkit is another one, and is left as it is."""
    known: bool = _TOOLKITS.__code__.co_varnames == _KNOWN
    if known:
        builder.call_fn = work_out
    return known
