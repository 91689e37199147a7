"""Delivery: when a night's paper is due, where it goes, and what proves that it got there.

In: company file, a day, a moment, a night's report. Out: cut-offs as moments, runs that are due,
what a human must decide. No clock: whoever asks says what time it is.
"""

from services.delivery.cut_off import NightTimes, Phase, eve_of, is_work_day, phase_at, times_of
from services.delivery.decisions import Decision, decisions, letter
from services.delivery.due import DueRun, RunKind, runs_due
from services.delivery.morning_page import morning_sheet

__all__ = [
    "Decision",
    "DueRun",
    "NightTimes",
    "Phase",
    "RunKind",
    "decisions",
    "eve_of",
    "is_work_day",
    "letter",
    "morning_sheet",
    "phase_at",
    "runs_due",
    "times_of",
]
