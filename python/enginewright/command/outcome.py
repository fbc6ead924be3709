"""How a run of the command ends: its statuses, and the mistakes that end it in one line."""

from enum import IntEnum

__all__ = ["Refusal", "Status"]


class Status(IntEnum):
    """Exit statuses; of several that apply, the first in the order USAGE, TROUBLE, OUTSIDE wins."""

    GOOD = 0
    OUTSIDE = 1
    USAGE = 2
    TROUBLE = 3
    UNPROVEN = 4


class Refusal(Exception):
    """A mistake that the user can mend; its text is the line he reads."""

    def __init__(self, text: str, status: Status = Status.TROUBLE) -> None:
        super().__init__(text)
        self.status = status
