"""Intake: from what was sent to a job that can be laid out.

In: the bytes of a submission and the company's own documents.
Out: a frozen submission (or every problem it has, at once), then a job with all it
refers to found, its defaults named and its measures checked against each other.
"""

from services.intake.corrections import corrected
from services.intake.cross_checks import check_measure
from services.intake.holds import make_job
from services.intake.reading import read_document, read_library_document, read_submission

__all__ = [
    "check_measure",
    "corrected",
    "make_job",
    "read_document",
    "read_library_document",
    "read_submission",
]
