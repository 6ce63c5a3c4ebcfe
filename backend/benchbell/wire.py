"""What goes over the wire, and what both sides reckon from it: the structs from which the page's types are made.

Beside them, what the page has from the trade's tables.
"""

from benchbell.bench.air import Reading
from benchbell.bench.clocks import Clock, Ring
from benchbell.bench.happenings import Happening
from benchbell.bench.shop import ShopState
from benchbell.bench.state import Bench
from benchbell.labels.messages import LabelNotes
from benchbell.plan.report.messages import Difference, PlanTold, WhatIf
from benchbell.recipe.sheet import Sheet
from benchbell.trade.finish import finishes
from benchbell.trade.glue import glues
from benchbell.web.alert_messages import ALERT_MESSAGES
from benchbell.web.messages import MESSAGES

SHARED: tuple[type, ...] = (
    Sheet,
    Happening,
    Bench,
    ShopState,
    Clock,
    Reading,
    Ring,
    LabelNotes,
    PlanTold,
    WhatIf,
    Difference,
    *MESSAGES,
    *ALERT_MESSAGES,
)

TITLES: dict[str, dict[str, str]] = {
    "GLUES": {name: glue.title for name, glue in glues().items()},
    "FINISHES": {name: finish.title for name, finish in finishes().items()},
}
"""By name, how a glue or a finish is called."""
