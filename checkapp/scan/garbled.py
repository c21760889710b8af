"""How far apart two texts are: by what a scanner's keys suffer on their way, and by any mistake at all."""


def key_errors(sent: str, seen: str) -> int | None:
    """How many keys must have been dropped or repeated at least for ``seen`` to come of ``sent``; None if none can.

    Each key that was dropped counts as one, and each time that a key came once more.
    """
    costs = {0: 0}  # after the keys looked at so far: how much of ``seen`` they gave, at what cost
    for key in sent:
        after = {given: cost + 1 for given, cost in costs.items()}
        for given, cost in costs.items():
            more = given
            while more < len(seen) and seen[more] == key:
                more += 1
                total = cost + more - given - 1
                after[more] = min(total, after.get(more, total))
        costs = after
    return costs.get(len(seen))


def once(text: str) -> str:
    """The text with each run of one character cut to one."""
    return "".join(key for key, before in zip(text, "\0" + text, strict=False) if key != before)


def can_give(sent: str, seen_once: str) -> bool:
    """Whether dropped and repeated keys, however many, can make a text of ``sent`` that is ``seen_once`` by `once`."""
    keys = iter(sent)
    return all(key in keys for key in seen_once)


def within(one: str, other: str, most: int) -> bool:
    """Whether at most ``most`` mistakes lead from one text to the other: a character left out, put in, taken for
    another, or swapped with its neighbour (each place at most once: the optimal string alignment)."""
    while one and other and one[0] == other[0]:
        one, other = one[1:], other[1:]
    while one and other and one[-1] == other[-1]:
        one, other = one[:-1], other[:-1]
    if abs(len(one) - len(other)) > most:
        return False
    if max(len(one), len(other)) <= most:
        return True
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, a in enumerate(one):
        after = [i + 1]
        for j, b in enumerate(other):
            least = min(row[j] + (a != b), row[j + 1] + 1, after[j] + 1)
            if i and j and a == other[j - 1] and b == one[i - 1]:
                least = min(least, before[j - 1] + 1)
            after.append(least)
        before, row = row, after
        if min(row) > most:
            return False
    return row[-1] <= most
