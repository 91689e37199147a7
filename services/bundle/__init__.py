"""Bundle: one crew's packs for one day, behind a day sheet and one load-out.

In: the day's plans, what could not be made and why. Out: one document to print.
"""

from services.bundle.assemble import day_imprint, set_bundle, set_shop, shop_head
from services.bundle.day_load import Booking, booking_of, check_bookings, read_day
from services.bundle.day_sheet import day_sheets
from services.bundle.supplement import as_supplement, supplement_sheet

__all__ = [
    "Booking",
    "as_supplement",
    "booking_of",
    "check_bookings",
    "day_imprint",
    "day_sheets",
    "read_day",
    "set_bundle",
    "set_shop",
    "shop_head",
    "supplement_sheet",
]
