"""The usual caution, one sentence each, shown wherever mains or phantom power or the dark comes up."""

MAINS = (
    "Mains distribution is for qualified people and local codes decide; "
    "this is arithmetic on what the plan says, not an inspection."
)
PHANTOM = "Mute the channel before re-plugging, and mind phantom power with microphones that do not take it."
DARK = "Walk with a light and both hands free; a cable is not worth a fall."
