"""Compliance: what the finished numbers come to beside the recorded rules.

In: the job with its code profile, the layout, the bays. Out: findings, each with its
clause, what was asked, what was found and a verdict; rows that prove that nothing was left
out; and the questions that stop a pack. It approves nothing: `meets` is said of a recorded
limit only, and posts and loads always end in `for the authority`.
"""

from services.compliance.findings import find
from services.compliance.loading import load_profiles
from services.compliance.questions import breaks_as_questions

__all__ = ["breaks_as_questions", "find", "load_profiles"]
