"""Videos and cameras: real films played by the real library, damaged ones, machines without camera or OpenCV."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from checkapp.rig.codes import Tag
from checkapp.scan import video
from checkapp.scan.video import NoCamera, NoOpenCv, VideoRefused, is_video, looks, open_camera, open_video

sys.path.append(str(Path(__file__).parents[1] / "bench"))
from drawn_codes import board, drawn, film

TEXTS = [Tag("QN", f"HP0{n}", "A").text for n in range(3)]
SCENES = [board([drawn(text)], (400, 300)) for text in TEXTS]


def read(path):
    """Each text and the second at which it was first seen."""
    found = {}
    for look in looks(path):
        for one in look.found:
            found.setdefault(one.text, look.at_s)
    return found


@pytest.fixture(scope="module", params=["film.avi", "film.mp4"])
def short(request, tmp_path_factory):
    """Three tags, each for a second."""
    frames = [scene for scene in SCENES for _ in range(30)]
    return film(tmp_path_factory.mktemp("short") / request.param, frames)


def test_each_tag_of_a_film_is_read_with_its_time(short):
    assert read(short) == {text: pytest.approx(second, abs=0.07) for second, text in enumerate(TEXTS)}


def test_a_short_film_is_looked_at_frame_by_frame(tmp_path):
    """A tag that is there for one frame alone."""
    blank = Image.new("L", (400, 300), 128)
    path = film(tmp_path / "flash.avi", [blank] * 20 + [SCENES[0]] + [blank] * 20)
    assert read(path) == {TEXTS[0]: pytest.approx(20 / 30, abs=0.01)}


def test_a_longer_film_is_looked_at_fifteen_times_a_second(tmp_path):
    path = film(tmp_path / "long.avi", [SCENES[n // 60 % 3] for n in range(240)], a_second=60)
    seen = list(looks(path))
    assert len(seen) == 60
    assert [look.at_s for look in seen[:3]] == pytest.approx([0, 4 / 60, 8 / 60])
    assert all(0 <= look.done <= 1 for look in seen)
    assert seen[-1].done > 0.9


def test_frames_of_a_film_are_the_pictures_it_was_made_of(short):
    capture = open_video(short)
    frame = capture.read()
    assert frame.size == (400, 300)
    assert frame.grey().size == (400, 300)
    assert [one.text for one in frame.codes()] == [TEXTS[0]]
    size, rows = frame.shown(200)
    assert size == (200, 150)
    assert len(rows) == 200 * 150 * 3
    assert frame.shown(4000)[0] == (400, 300)
    while capture.read():
        pass
    assert capture.read() is None
    capture.close()
    assert capture.read() is None
    capture.close()


def test_red_is_red_where_a_frame_is_shown(tmp_path):
    capture = open_video(film(tmp_path / "red.avi", [Image.new("RGB", (64, 48), (220, 30, 20))] * 3))
    (_, rows) = capture.read().shown(64)
    assert rows[0] > 180
    assert max(rows[1:3]) < 80


def test_a_film_lets_its_file_go(short):
    def held():
        return [link for link in Path("/proc/self/fd").iterdir() if os.path.realpath(link) == str(short.resolve())]

    capture = open_video(short)
    assert held()
    capture.close()
    assert not held()
    some = looks(short)
    next(some)
    assert held()
    some.close()
    assert not held()


def refused(path):
    with pytest.raises(VideoRefused) as error:
        list(looks(path))
    (line,) = error.value.lines
    assert str(path) in line
    return line


@pytest.mark.parametrize("name", ["head", "zero"])
def test_a_damaged_film_is_refused(short, tmp_path, name):
    content = short.read_bytes()
    path = tmp_path / f"{name}{short.suffix}"
    path.write_bytes(content[:300] if name == "head" else content[:40] + bytes(len(content)))
    assert "save it as MP4" in refused(path)


def test_the_player_itself_prints_nothing(tmp_path):
    """In a process of its own: what the player prints is settled when it is first used."""
    path = film(tmp_path / "cut.mp4", [SCENES[0]] * 20)
    content = bytearray(path.read_bytes())
    content[200 : len(content) - 1500 : 41] = bytes(len(range(200, len(content) - 1500, 41)))
    path.write_bytes(content)
    cut = path.with_name("half.mp4")
    cut.write_bytes(content[: len(content) // 2])
    program = (
        "import sys\n"
        "from pathlib import Path\n"
        "from checkapp.rig.errors import CheckappError\n"
        "from checkapp.scan.video import looks, open_camera\n"
        "for name in sys.argv[1:]:\n"
        "    try:\n"
        "        print(len(list(looks(Path(name)))))\n"
        "        open_camera()\n"
        "    except CheckappError as error:\n"
        "        print(error)\n"
    )
    words = [sys.executable, "-c", program, str(path), str(cut)]
    done = subprocess.run(words, capture_output=True, text=True, check=True)
    assert done.stderr == ""
    assert "no camera" in done.stdout
    assert "is damaged" in done.stdout


def test_what_is_no_video_is_not_handed_to_the_player(tmp_path):
    lists = {
        "plan.mp4": b"format = 1\n",
        "list.m3u8": b"#EXTM3U\n#EXTINF:1,\n/etc/passwd\n",
        "list.txt": b"ffconcat version 1.0\nfile /etc/passwd\n",
        "tag.heic": b"\0\0\0\x18ftypheic\0\0\0\0",
        "empty.mp4": b"",
    }
    for name, content in lists.items():
        path = tmp_path / name
        path.write_bytes(content)
        assert not is_video(path)
        assert "no video that can be played" in refused(path)
    assert not is_video(tmp_path / "missing.mp4")
    assert not is_video(tmp_path)


def test_a_file_name_is_a_file_name(tmp_path, monkeypatch):
    """No address, no pattern of pictures, whatever it is called."""
    monkeypatch.chdir(tmp_path)
    made = film(tmp_path / "made.avi", [SCENES[0]] * 3)
    for name in ("http:x.avi", "concat:a.avi|b.avi", "tag%02d.avi", "-i.avi", "ünï.avi", "file:made.avi"):
        path = made.rename(tmp_path / name)
        assert list(read(Path(name))) == [TEXTS[0]]
        made = path


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 1), st.integers(0, 255)), min_size=1, max_size=30), st.floats(0.05, 1))
def test_mangled_films_are_read_or_refused(tmp_path_factory, changes, kept):
    base = tmp_path_factory.getbasetemp()
    whole = base / "whole.mp4"
    if not whole.exists():
        film(whole, SCENES[:1] * 4)
    content = bytearray(whole.read_bytes())
    for share, value in changes:
        content[int(share**2 * (len(content) - 1))] = value
    path = base / "mangled.mp4"
    path.write_bytes(content[: int(kept * len(content))])
    try:
        assert set(read(path)) <= {TEXTS[0]}
    except VideoRefused as error:
        assert len(error.lines) == 1


# -- cameras


def test_no_camera_is_said_at_once_and_nothing_is_printed(capfd):
    """The machines that tests run on have none."""
    assert not list(Path("/dev").glob("video*")), "this machine has a camera: the test needs one without"
    start = time.monotonic()
    with pytest.raises(NoCamera, match="no camera; plug one in"):
        open_camera()
    assert time.monotonic() - start < 5
    assert capfd.readouterr() == ("", "")


class Device:
    """What OpenCV gives for a camera, with what was asked of it written down."""

    cameras = ()
    opened = ()

    def __init__(self, number, _backend):
        self.number = number
        self.asked = {}
        Device.opened = (*Device.opened, self)

    def isOpened(self):
        return self.number in self.cameras

    def set(self, what, value):
        self.asked[what] = value

    def release(self):
        self.asked["released"] = True


@pytest.mark.parametrize(("cameras", "first", "number"), [((0,), 0, 0), ((1,), 0, 1), ((0, 2), 1, 2), ((0,), 1, 0)])
def test_the_next_camera_that_there_is_is_taken_and_asked_for_a_wide_picture(monkeypatch, cameras, first, number):
    import cv2

    monkeypatch.setattr(cv2, "VideoCapture", Device)
    monkeypatch.setattr(Device, "cameras", cameras)
    monkeypatch.setattr(Device, "opened", ())
    camera = open_camera(first)
    assert camera.number == number
    *others, device = Device.opened
    assert device.asked[cv2.CAP_PROP_FRAME_WIDTH] >= 1280
    assert device.asked[cv2.CAP_PROP_BUFFERSIZE] == 1
    assert all(other.asked == {"released": True} for other in others)
    camera.close()
    assert device.asked["released"]


def test_without_opencv_it_is_said_what_to_install(monkeypatch, short):
    monkeypatch.setitem(sys.modules, "cv2", None)
    for opening in (open_camera, lambda: open_video(short), lambda: list(looks(short))):
        with pytest.raises(NoOpenCv) as error:
            opening()
        assert "pip install 'checkapp[camera]'" in str(error.value)
    assert is_video(short)


def test_the_module_loads_without_opencv():
    assert "cv2" not in vars(video)
