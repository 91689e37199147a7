"""Wording: every printed text in the crew's language.

In: texts as the stages said them, and a language. Out: the same texts in that language, from
the catalogues shipped beside this module (gettext's .po files; English is the source).
"""

from services.wording.catalogues import LANGUAGES
from services.wording.sheets import tell, tell_sheets
from services.wording.words import ENGLISH, Words, words_for, words_of

__all__ = ["ENGLISH", "LANGUAGES", "Words", "tell", "tell_sheets", "words_for", "words_of"]
