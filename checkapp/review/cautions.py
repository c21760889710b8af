"""The usual caution, one sentence each, wherever mains or phantom power comes up."""

from checkapp.tongue import later

MAINS = later(
    "Mains distribution is for qualified people and local codes decide; "
    "this is arithmetic on what the plan says, not an inspection."
)
PHANTOM = later("Mute the channel before re-plugging, and mind phantom power with microphones that do not take it.")
