"""Pack: one job's sheets set on paper under one identity.

In: a plan and its sheets. Out: the PDF's bytes, its pages and its content code.
"""

from services.pack.assemble import make_part, set_pack, set_tickets
from services.pack.identity import CLAIM, content_code, imprint

__all__ = ["CLAIM", "content_code", "imprint", "make_part", "set_pack", "set_tickets"]
