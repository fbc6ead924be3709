"""Papers: the work list that lies beside the machine, and the build sheet that the customer keeps.

One builder makes both from the same job: what to do next, grouped by machine, as long as the engine
is not finished; what was found and made once it is. The document is a plain list of blocks; a page
for the browser and a PDF are two ways to write it down, neither adds a word.

Caution: a paper repeats what was measured. It does not make a part safe: what is unproven stays
unproven until it is measured again.
"""

from enginewright.report.blocks import (
    Block,
    Caution,
    Cell,
    Column,
    Document,
    Drawing,
    Facts,
    Heading,
    Paragraph,
    Points,
    SignOff,
    Table,
)
from enginewright.report.builder import build_sheet
from enginewright.report.measured import (
    budget_block,
    fit_block,
    press_fit_block,
    process_block,
)
from enginewright.report.with_blocks import with_blocks

__all__ = [
    "Block",
    "Caution",
    "Cell",
    "Column",
    "Document",
    "Drawing",
    "Facts",
    "Heading",
    "Paragraph",
    "Points",
    "SignOff",
    "Table",
    "budget_block",
    "build_sheet",
    "fit_block",
    "press_fit_block",
    "process_block",
    "with_blocks",
]
