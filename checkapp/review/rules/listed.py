"""The one list of review rules. To add a rule, write a function from a rig to findings and put it here in its place."""

from checkapp.review.findings import Rule
from checkapp.review.rules.cable import cable_impedance, mixed_cables, no_spare
from checkapp.review.rules.chain import chain_boxes, chain_channels, chain_length, hop_length
from checkapp.review.rules.crew import alike_codes, no_place, no_zone
from checkapp.review.rules.insert import insert_delay
from checkapp.review.rules.line import level, phantom, phantom_draw
from checkapp.review.rules.link import link_collapse, link_current, link_volts, no_power
from checkapp.review.rules.mains import mains_drop, mains_load
from checkapp.review.rules.margin import margin
from checkapp.review.rules.unused import unused

STOP_RULES: tuple[Rule, ...] = (
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
"""The rules whose findings can be stops."""

RULES: tuple[Rule, ...] = (
    *STOP_RULES,
    cable_impedance,
    mains_drop,
    insert_delay,
    margin,
    unused,
    phantom_draw,
    no_spare,
    mixed_cables,
    alike_codes,
    no_place,
    no_zone,
)
"""In the order in which findings of one level are listed."""
