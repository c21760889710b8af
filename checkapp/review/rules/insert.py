"""How late an insert comes back, when its way out or back is over a chain."""

from collections.abc import Iterator

from checkapp.review.delay import first_notch_hz, notch_spacing_hz, samples
from checkapp.review.findings import Finding, FindingLevel
from checkapp.review.wording import figure
from checkapp.rig.codes import DESK, Port, known_port
from checkapp.rig.model import Insert
from checkapp.rig.rig import Rig
from checkapp.tongue import tr


def insert_delay(rig: Rig) -> Iterator[Finding]:
    """An insert's signal is later by its ways out and back; that is heard where it is mixed with the direct signal."""
    for insert in rig.plan.insert:
        ways_us = [_way_us(rig, known_port(port)) for port in (insert.send, insert.back)]
        delay_us = sum(way for way in ways_us if way is not None)
        if None not in ways_us and delay_us:
            yield _late(rig, insert, delay_us)


def _late(rig: Rig, insert: Insert, delay_us: float) -> Finding:
    rate_hz = rig.plan.rig.sample_rate_hz
    late = tr(
        "{insert} of {line} goes out over {send} and back over {back}: the signal is {delay} us later, {samples}"
        " samples at {rate} kHz",
        insert=insert.name,
        line=f"in {insert.input}",
        send=insert.send,
        back=insert.back,
        delay=figure(delay_us),
        samples=figure(samples(delay_us, rate_hz)),
        rate=figure(rate_hz / 1000),
    )
    if not insert.parallel:
        message = tr("{late}; what the insert itself takes comes on top.", late=late)
        remedy = tr("Mind it where the same sound also reaches the desk over another line.")
    else:
        message = tr(
            "{late}. Mixed with the direct signal it cancels at {first}, and every {spacing} from there; what the"
            " insert itself takes comes on top.",
            late=late,
            first=_hz(first_notch_hz(delay_us)),
            spacing=_hz(notch_spacing_hz(delay_us)),
        )
        remedy = tr("Delay the direct signal by as much, or put the insert into the line instead of beside it.")
    level: FindingLevel = "caution" if insert.parallel else "note"
    return Finding("insert-delay", level, f"in {insert.input}", message, remedy, delay_us, None, "us")


def _way_us(rig: Rig, port: Port) -> float | None:
    """Microseconds between a port and the desk, one way: 0 at the desk, None when a link's figure is not given.

    A port of a passive box is as far as the port that it goes to. The k-th box of a chain is k hop_delay_us from its
    start; a chain that starts at a box is that box's way farther.
    """
    while port.code != DESK and rig.box_kind(rig.boxes[port.code]).passive:
        port = rig.fed_port(port)
    return 0.0 if port.code == DESK else _box_way_us(rig, port.code)


def _box_way_us(rig: Rig, code: str) -> float | None:
    total_us = 0.0
    start: str | None = code
    while start is not None:
        chain = rig.chains[rig.chain_of(start) or ""]
        hop_delay_us = rig.link_kind(chain).hop_delay_us
        if hop_delay_us is None:
            return None
        place = [box.code for box in rig.boxes_on(chain.code)].index(start)
        total_us += (place + 1) * hop_delay_us
        start = chain.start
    return total_us


def _hz(frequency_hz: float) -> str:
    return f"{figure(frequency_hz / 1000)} kHz" if frequency_hz >= 1000 else f"{figure(frequency_hz)} Hz"
