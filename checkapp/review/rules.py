"""The one list of review rules. To add a rule, write a function from a rig to findings and put it here in its place."""

from checkapp.review.chain_rules import chain_boxes, chain_channels, chain_length, hop_length
from checkapp.review.findings import Rule
from checkapp.review.line_rules import level, phantom
from checkapp.review.link_rules import link_collapse, link_current, link_volts, no_power
from checkapp.review.mains_rules import mains_load

RULES: tuple[Rule, ...] = (
    chain_length,
    hop_length,
    chain_boxes,
    chain_channels,
    link_current,
    link_volts,
    link_collapse,
    no_power,
    level,
    phantom,
    mains_load,
)
"""In the order in which findings of one level are listed."""
