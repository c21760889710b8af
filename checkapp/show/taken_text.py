"""What came of taking entries in, in words."""

from checkapp.journal.taking_in import TakenIn


def entries(count: int) -> str:
    """A number of entries in words."""
    return "1 entry" if count == 1 else f"{count} entries"


def taken_text(taken: TakenIn) -> str:
    """What came in, and what was there."""
    return f"{entries(taken.new)} came in, {taken.known} {'was' if taken.known == 1 else 'were'} there already"


def wrong_text(taken: TakenIn) -> tuple[str, ...]:
    """What is wrong now with the devices whose entries came, a line each."""
    more = (f"and {taken.untold} more; journal verify tells them all",) if taken.untold else ()
    return (*(fault.said for fault in taken.faults), *more)
