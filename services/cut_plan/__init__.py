"""The cut plan: which rail comes from which stock, from which hole.

In: the pieces of one job, one crew's day or one night, the stock on sale and the offcuts on
the rack. Out: a `CutPlan` with every bar, its price, the bound below which no plan can
cost, and the proof of that bound in whole numbers.
"""

from services.cut_plan.asks import Bills, LeastStock, StockBill, least_stock, stock_bill
from services.cut_plan.check import check_all, check_bound, check_plain_bound, check_plan
from services.cut_plan.offcuts import left_for_rack, offcut_stock
from services.cut_plan.pieces import cut_pieces, plain_pieces, sticks_ticketed
from services.cut_plan.pooling import named_for_night, pool_cuts
from services.cut_plan.reserved import beyond_reserved
from services.cut_plan.sharing import RailCut
from services.cut_plan.solve import plan_cuts
from services.cut_plan.stock import fits_stock, plain_stock, stock_rails, with_boxed

__all__ = [
    "Bills",
    "LeastStock",
    "RailCut",
    "StockBill",
    "beyond_reserved",
    "check_all",
    "check_bound",
    "check_plain_bound",
    "check_plan",
    "cut_pieces",
    "fits_stock",
    "least_stock",
    "left_for_rack",
    "named_for_night",
    "offcut_stock",
    "plain_pieces",
    "plain_stock",
    "plan_cuts",
    "pool_cuts",
    "sticks_ticketed",
    "stock_bill",
    "stock_rails",
    "with_boxed",
]
