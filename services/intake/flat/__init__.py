"""Flat jobs: a table with one job a row, for offices that keep their measures in a sheet.

In: the bytes of a CSV file (RFC 4180) under the template's heads. Out: one submission a row, as
the JSON document it would have been, and for every problem the line and the column it stands in.
Whatever a table cannot say (gates, landings, several lines) is sent as JSON.
"""

from services.intake.flat.columns import COLUMNS, Column
from services.intake.flat.rows import FlatJob, template
from services.intake.flat.table import read_table

__all__ = ["COLUMNS", "Column", "FlatJob", "read_table", "template"]
