"""Layout: where every post stands and what lies between.

In: a job, and what later stages know of bays (`Asks`).
Out: posts and bays by name in plan, or the questions that stop it.
"""

from services.layout.asks import (
    Asks,
    BayWorks,
    Bill,
    LaidOut,
    NearestLegal,
    Opening,
    StairWorks,
    StockAsk,
)
from services.layout.assemble import lay_out

__all__ = [
    "Asks",
    "BayWorks",
    "Bill",
    "LaidOut",
    "NearestLegal",
    "Opening",
    "StairWorks",
    "StockAsk",
    "lay_out",
]
