"""What a session refuses, named by the condition."""

from checkapp.rig.errors import CheckappError


class NothingOpen(CheckappError):
    """A move was asked for while no rig or no check is open."""


class NameMissing(CheckappError):
    """A check needs the show's name and the initials of who does it."""


class CheckSignedOff(CheckappError):
    """A check that is signed off takes no more marks."""


class CheckGone(CheckappError):
    """A check that is not in the journal that lies there now, or is one of another rig."""


class StillUnsaved(CheckappError):
    """A check is signed off only when all of it is on the disk."""
