"""The words of one language."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from typing import Final

from babel.dates import format_date

from schemas.company import Company
from schemas.job import Job
from schemas.wording import Language, Said, Value, say, shipped
from services.wording.catalogues import Forms, forms_of

_DAYS: Final[dict[Language, str]] = {"en": "EEEE d MMMM y", "es": "EEEE d 'de' MMMM 'de' y"}
"""A day in words, as CLDR writes patterns."""
_DATES: Final[dict[Language, str]] = {"en": "d MMMM y", "es": "d 'de' MMMM 'de' y"}
_LOCALES: Final[dict[Language, str]] = {"en": "en_US", "es": "es_US"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What turns a text into the words of a language.

    A message that the catalogue lacks is printed in English rather than not at all; a test
    sees to it that none is lacking.
    """

    language: Language
    """As the company file names it."""
    forms: Mapping[str, Forms] = field(repr=False)
    """The catalogue: by English message."""
    own: Mapping[str, str] = field(default_factory=dict, repr=False)
    """The company's own texts, by their English."""

    def with_own(self, company: Company) -> Words:
        """These words with the company's own texts beside them."""
        own = company.wording.get(self.language) if self.language != "en" else None
        return replace(self, own=own) if own else self

    def of(self, text: str) -> str:
        """A text in this language; what was given stays as given."""
        if not isinstance(text, Said):
            return text
        return str(text) if self.language == "en" else text.told(self._form)

    def say(self, message: str, /, **values: Value) -> str:
        """A message in this language at once, for what must be measured before it is placed."""
        return self.of(say(message, **values))

    def day(self, day: date) -> str:
        """A day in words, e.g. ``Thursday 3 December 2026``."""
        return format_date(day, _DAYS[self.language], locale=_LOCALES[self.language])

    def date(self, day: date) -> str:
        """A day without its weekday, e.g. ``3 December 2026``."""
        return format_date(day, _DATES[self.language], locale=_LOCALES[self.language])

    def _form(self, message: str, many: str | None, count: Value) -> str:
        forms = self.forms.get(message)
        if forms is None and message in self.own:
            return shipped(self.own[message]).message
        if forms is None:
            return message if many is None or count == 1 else many
        return forms[0] if count == 1 else forms[-1]


def words_of(job: Job) -> Words:
    """The words of the crew that a job is for.

    Args:
        job: With the company's crews.
    """
    language = next(c.language for c in job.company.crews if c.key == job.crew)
    return words_for(language).with_own(job.company)


@cache
def words_for(language: Language) -> Words:
    """The words of a language, with its catalogue.

    Args:
        language: As the company file names it.
    """
    return Words(language=language, forms=forms_of(language))


ENGLISH: Final = words_for("en")
"""The source: what the office reads."""
