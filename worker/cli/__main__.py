"""The same as the `dawnpack` command: `python -m worker.cli`."""

from worker.cli.program import main

main()
