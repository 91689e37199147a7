"""From a crew's packs to the bundle it picks up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Literal

from schemas.bundle import BundleFile
from schemas.company import Company, Crew
from schemas.pages import Imprint, Sheet
from schemas.shop import ShopFile, ShopPlan
from schemas.wording import say
from services.paper.book import Part, set_book
from services.wording import tell, words_for

CLAIM = say(
    "Numbers are the office's measures, worked out; they approve nothing. Local code, the rail "
    "maker's printed instructions and licensed practice win over this sheet."
)


def day_head(*, crew: Crew, day: date) -> str:
    """What a crew's day is called on paper and in its content code."""
    return f"{day.isoformat()} crew {crew.name}"


def day_imprint(*, company: Company, crew: Crew, day: date, code: str, issued: str) -> Imprint:
    """What every page of a day sheet carries."""
    head = day_head(crew=crew, day=day)
    base = company.address
    return Imprint(
        job=say("Day sheet"),
        language=crew.language,
        revision=day.isoformat(),
        site=company.name,
        crew=say("Crew {crew}", crew=crew.name),
        code=code,
        issued=issued,
        replaces=say("any day sheet of this crew and day with another code"),
        check_at=f"{base}/v1/check/{code}" if base else f"{head} {code}",
        notes=(CLAIM,),
    )


def set_bundle(
    *, crew: Crew, day: date, imprint: Imprint, sheets: Sequence[Sheet], packs: Sequence[Part]
) -> BundleFile:
    """Set one crew's day: the day sheet and load-out, then each job's pack.

    Args:
        crew: Whose day it is; its paper size is used, and whether it prints on both sides.
        day: Day of work.
        imprint: What each page of the day sheet carries.
        sheets: Day sheet and load-out.
        packs: The packs, in the order of the stops.

    Raises:
        UnprintableText: A text that no shipped font can show.
    """
    first = Part(imprint=tell(imprint, words_for(crew.language)), sheets=tuple(sheets))
    printed = set_book(parts=(first, *packs), size=crew.paper, duplex=crew.duplex)
    return BundleFile(
        crew=crew.key,
        day=day.isoformat(),
        code=imprint.code,
        pages=printed.pages,
        pdf=printed.pdf,
    )


def shop_head(shop: ShopPlan) -> str:
    """What a shop cutting is called on paper and in its content code."""
    return f"{shop.day} shop, {shop.pool}"


def set_shop(
    shop: ShopPlan,
    sheets: Sequence[Sheet],
    *,
    company: Company,
    size: Literal["letter", "a4"],
    code: str,
    issued: str,
) -> ShopFile:
    """Set the shop's sheets.

    Args:
        shop: The shop's plan.
        sheets: Its sheets.
        company: For the address of printed codes.
        size: Paper size.
        code: Content code of the sheets.
        issued: When and by which run, in words.

    Raises:
        UnprintableText: A text that no shipped font can show.
    """
    base = company.address
    stamp = Imprint(
        job=say("Shop cutting"),
        revision=shop.day,
        site=shop.company,
        crew=say("Crews: {pool}", pool=shop.pool),
        code=code,
        issued=issued,
        replaces=say("any shop cut list of this day with another code"),
        check_at=f"{base}/v1/check/{code}" if base else f"{shop_head(shop)} {code}",
        notes=(CLAIM,),
    )
    printed = set_book(parts=(Part(imprint=stamp, sheets=tuple(sheets)),), size=size)
    return ShopFile(plan=shop, code=code, pages=printed.pages, pdf=printed.pdf)
