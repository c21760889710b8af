"""A session that is watched: what it made is written down, it cannot look out of its folder, a check is under way."""

from pathlib import Path

from checkapp.show.browsing import Browser, FolderRefused
from checkapp.show.session import Session


class Watched(Session):
    """The session; it is written down which entries it made. Nobody may look into folders outside of ``fence``."""

    def __init__(self, fence, made, **kwargs):
        super().__init__(**kwargs)
        self.fence, self.made = fence, made

    def _open_log(self):
        log = super()._open_log()
        append = log.append

        def appended(kind, **columns):
            entry = append(kind, **columns)
            self.made.append((entry.id, kind))
            return entry

        log.append = appended
        return log

    @property
    def browser(self):
        self._browser = self._browser or Fenced(self._home, self.fence)
        return self._browser


class Fenced(Browser):
    """Looks into the folders of one folder only."""

    def __init__(self, home, fence):
        super().__init__(home)
        self.fence = fence

    def folder(self, path):
        if not Path(path).resolve().is_relative_to(self.fence):
            raise FolderRefused(f"{path}: this user may not look into it; pick another folder")
        return super().folder(path)


def begin(data):
    """A set-up that was begun, and a check under way."""
    session = Session(home=data)
    session.open_rig(str(data / "plans" / "demo.toml"))
    session.set_up("Night 1", "", "2031-05-02", "JD")
    walk = session.start_check("Night 1", "", "2031-05-02", "JD")
    for _ in range(12):
        walk = session.ok(walk.line)
    session.faulty(walk.line, "silent", "")
    session.close()
