"""What if: other systems, stock and bay lengths tried on a job.

In: what is tried, in words, and the library. Out: corrections of the submission and a changed
library, to be planned like any other job, and what that came to in figures to be compared.
"""

from services.what_if.changed import changed_library, corrections_of
from services.what_if.figures import in_figures, refused
from services.what_if.known import check_names
from services.what_if.reading import read_try

__all__ = ["changed_library", "check_names", "corrections_of", "in_figures", "read_try", "refused"]
