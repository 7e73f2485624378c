"""The page's own parts: templates, style, script, and what the page's policy needs of them."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jinja2 import Environment


@cache
def part(name: str) -> str:
    """The text of one part."""
    return files("framecheck.reports").joinpath("html_parts", name).read_text("utf-8")


@cache
def hashed(text: str) -> str:
    """What CSP level 2 wants: the SHA-256 of an element's text, in base64."""
    return b64encode(sha256(text.encode()).digest()).decode()


@cache
def templates() -> Environment:
    """Templates that escape whatever they are given."""
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    return Environment(
        loader=FunctionLoader(part),
        autoescape=True,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
    )


def raw(text: str) -> Any:
    """Text that is markup already: made here, of numbers and of our own parts."""
    from markupsafe import Markup

    return Markup(text)
