"""The closed lists of words that data holds: English in every file, said by `shown_word` where they are shown."""

from checkapp.tongue.saying import later

STATUSES = (later("ok"), later("faulty"), later("open"), later("look"), later("next"))
SYMPTOMS = (
    later("silent"),
    later("hum"),
    later("crackle"),
    later("low"),
    later("distorted"),
    later("polarity"),
    later("wrong line"),
    later("noisy"),
)
ITEM_KINDS = (
    later("source"),
    later("cable"),
    later("hop"),
    later("port"),
    later("box"),
    later("chain"),
    later("supply"),
    later("desk"),
)
SIGNAL_LEVELS = (later("mic"), later("line"), later("instrument"))
FINDING_LEVELS = (later("stop"), later("caution"), later("note"))
ACTIONS = (later("swap"), later("reseat"), later("mend"), later("bypass"))
ADVICE = (later("retire"), later("bench-test"), later("keep"))
TRENDS = (later("worse"), later("better"), later("steady"), later("too few"))
ENTRIES = (later("mark"), later("repair"), later("placed"), later("connected"), later("move"), later("show"))
POWER = (later("none"), later("collapsed"), later("over-current"), later("under-volts"), later("ok"))
SOCKETS = (later("outlet for"),)
