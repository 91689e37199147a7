"""Pages for people: what stands in them is always escaped."""

from __future__ import annotations

from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined

_PAGES: Final = Environment(
    loader=PackageLoader("worker.api", "pages"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def page(name: str, **shows: object) -> str:
    """A page with what it shows."""
    return _PAGES.get_template(name).render(**shows)
