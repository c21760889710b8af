"""What can be wrong with evidence."""

from checkapp.rig.errors import CheckappError


class ImpossibleEvidence(CheckappError):
    """Marks that cannot all be true with the chances that the plan's ``[diagnose]`` gives."""
