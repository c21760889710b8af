"""The closed lists of words: levels, symptoms, kinds of items. Light, so that a command's help needs nothing else."""

from typing import Literal, get_args

Level = Literal["mic", "line", "instrument"]
Symptom = Literal["silent", "hum", "crackle", "low", "distorted", "polarity", "wrong line", "noisy"]
ItemKind = Literal["source", "cable", "hop", "port", "box", "chain", "supply", "desk"]
SYMPTOMS: tuple[Symptom, ...] = get_args(Symptom)
ITEM_KINDS: tuple[ItemKind, ...] = get_args(ItemKind)
