"""The two queues and the two messages: a name and a row's number, nothing else.

What was asked for now comes before the night's bulk: a worker empties `packs` first.
"""

from __future__ import annotations

from typing import Final, Literal

QueueName = Literal["packs", "night"]

PACKS: Final = "packs"
NIGHT: Final = "night"
IN_ORDER: Final = (PACKS, NIGHT)

MAKE_PACK: Final = "dawnpack.make_pack"
MAKE_BUNDLE: Final = "dawnpack.make_bundle"
TICK: Final = "dawnpack.tick"
"""The scheduler's: look whether a run of a night is due or done. It carries no number."""
POST: Final = "dawnpack.post"
"""The scheduler's: send what is to be told. It carries no number."""

QUEUES: Final = {name: {"exchange": name, "routing_key": name} for name in IN_ORDER}
