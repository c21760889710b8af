"""A show as somebody names it at its beginning: made when it is new, its venue and date kept up."""

from checkapp.journal import kinds
from checkapp.show import clock
from checkapp.show.recording import Recorder
from checkapp.show.session_errors import NameMissing
from checkapp.tongue import tr


def named_show(recorder: Recorder, name: str, venue: str, date: str, by: str) -> tuple[str, str]:
    """The show's name and the initials, the show written down when it is new or its venue or date is another.

    A venue or a date that is left blank stays what it was. `NameMissing`: no name or no initials.
    """
    name, by, venue, date = name.strip(), by.strip(), venue.strip(), date.strip()
    if not name or not by:
        raise NameMissing(tr("name the show and give your initials; both go into the log"))
    known = next((show for show in recorder.shows() if show.name == name), None)
    if known is not None:
        venue, date = venue or known.venue or "", date or known.date or ""
    if known is None or (known.venue or "", known.date or "") != (venue, date):
        recorder.write(kinds.show(name, venue=venue or None, date=date or clock.today()), name, by)
    return name, by
