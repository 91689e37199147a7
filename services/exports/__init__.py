"""Exports: takeoff, cut list and order totals for other programs to read.

In: plans, or their stored documents. Out: bytes of files: CSV by RFC 4180, and one UBL Order
a supplier. For the office: they may carry prices, and no field sheet is made from them.
"""

from services.exports.cut_list import cut_list_csv
from services.exports.order_list import order_csv
from services.exports.takeoff_list import takeoff_csv
from services.exports.totals import JobLoad, read_load, read_shop, total_orders
from services.exports.ubl_order import ubl_order

__all__ = [
    "JobLoad",
    "cut_list_csv",
    "order_csv",
    "read_load",
    "read_shop",
    "takeoff_csv",
    "total_orders",
    "ubl_order",
]
