"""Pages: what stands on every sheet of a pack, in final words, tables and drawings.

In: a finished plan and its drawings. Out: sheets in printed order, each complete in
itself, since crews part them. Nothing is computed here beyond the text of a number.
"""

from services.pages.contents import pack_sheets
from services.pages.shop import shop_sheets

__all__ = ["pack_sheets", "shop_sheets"]
