"""Shelves: a package offers what its files hold, and nobody keeps a list.

A new layer, rule, layout trait or report is one new file; the shelf finds it by its type.
"""

from __future__ import annotations

import importlib
import os
from functools import cache
from typing import TypeVar

T = TypeVar("T")


@cache
def modules(package: str) -> tuple[str, ...]:
    """Names of the modules on a package's shelf, sorted; ``_name`` and folders are not on it."""
    folders = importlib.import_module(package).__path__
    names = {name for folder in folders for name in _files(folder) if name[0] != "_"}
    return tuple(sorted(names))


def _files(folder: str) -> list[str]:
    """Names of the modules in a folder, or in an archive that stands for one."""
    if os.path.isdir(folder):
        # What pkgutil does too, but it loads `inspect`, a third of a start of the interpreter.
        return [name[:-3] for name in os.listdir(folder) if name.endswith(".py")]
    import pkgutil

    return [m.name for m in pkgutil.iter_modules([folder]) if not m.ispkg]


@cache
def text(package: str, module: str) -> str:
    """The text of a module on the shelf, without running it."""
    for folder in importlib.import_module(package).__path__:
        path = os.path.join(folder, f"{module}.py")
        if os.path.exists(path):
            with open(path, encoding="utf-8") as file:
                return file.read()
    import pkgutil

    return (pkgutil.get_data(package, f"{module}.py") or b"").decode()


def load(package: str, module: str, kind: type[T]) -> tuple[T, ...]:
    """The objects of type ``kind`` that one module of the shelf declares, in order.

    Raises LookupError for a module that offers none: a file that does nothing is a mistake.
    """
    loaded = importlib.import_module(f"{package}.{module}")
    things = tuple(v for n, v in vars(loaded).items() if isinstance(v, kind) and n[0] != "_")
    if not things:
        raise LookupError(f"{package}.{module} offers no {kind.__name__}")
    return things


def shelf(package: str, kind: type[T]) -> tuple[T, ...]:
    """All objects of type ``kind`` on the shelf ``package``, in the order of its files."""
    return tuple(thing for module in modules(package) for thing in load(package, module, kind))
