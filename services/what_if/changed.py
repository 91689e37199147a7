"""What is put into the submission, and the library as it would be."""

from __future__ import annotations

from collections.abc import Iterable

from schemas.job import Library
from schemas.rail_system import RailSystem, RoutedRail
from schemas.site import Correction
from schemas.what_if import Try


def corrections_of(tried: Try) -> tuple[Correction, ...]:
    """What is put into the submission; what does not suit the job is left to be refused there."""
    put = (("system", tried.system), ("height", tried.height), ("colour", tried.colour))
    return tuple(
        Correction(pointer=f"/rail/{name}", value=value) for name, value in put if value is not None
    )


def changed_library(library: Library, tried: Try, *, systems: Iterable[str]) -> Library:
    """The library with less stock and shorter bays in the job's own systems.

    Args:
        library: The company's documents.
        tried: What is tried; its names are known.
        systems: Keys of the job's rail systems.
    """
    used = set(systems)
    limited = (_limited(s, tried) if s.key in used else s for s in library.systems)
    return library.model_copy(update={"systems": tuple(limited)})


def _limited(system: RailSystem, tried: Try) -> RailSystem:
    level = _with_stock(system.level, tried.stock)
    if tried.max_bay is not None:
        longest = min(level.longest_clear, tried.max_bay)
        level = level.model_copy(update={"longest_clear": longest})
    stair = _with_stock(system.stair, tried.stock) if system.stair else None
    return system.model_copy(update={"level": level, "stair": stair})


def _with_stock(rail: RoutedRail, stock: tuple[str, ...]) -> RoutedRail:
    kits = tuple(kit for kit in rail.kits if kit.key in stock)
    return rail.model_copy(update={"kits": kits}) if kits else rail
