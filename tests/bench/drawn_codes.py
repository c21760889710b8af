"""Codes drawn into pictures and films, for tests and benchmarks of reading them."""

from collections.abc import Iterable
from pathlib import Path

import numpy as np
import qrcode
from PIL import Image

from checkapp.tags.qr import symbol


def drawn(payload: str | bytes, module_px: int = 6) -> Image.Image:
    """A QR with its white, mode L: a tag's as we print it, bytes as another program puts them in."""
    if isinstance(payload, str):
        rows = np.array(symbol(payload).rows)
    else:
        code = qrcode.QRCode(error_correction=qrcode.ERROR_CORRECT_L, border=0)
        code.add_data(payload, optimize=0)
        code.make()
        rows = np.array(code.modules)
    dark = np.pad(rows, 4).repeat(module_px, 0).repeat(module_px, 1)
    return Image.fromarray(np.where(dark, 0, 255).astype(np.uint8))


def board(codes: Iterable[Image.Image], size: tuple[int, int] = (1200, 700), ground: int = 128) -> Image.Image:
    """Pictures of codes on a grey board, row by row."""
    whole = Image.new("L", size, ground)
    left, top = 40, 30
    for code in codes:
        if left + code.width > size[0]:
            left, top = 40, top + 220
        whole.paste(code, (left, top))
        left += code.width + 30
    return whole


def film(path: Path, frames: Iterable[Image.Image], a_second: float = 30.0) -> Path:
    """A video file of these pictures, all of one size; MJPG in AVI or MPEG-4 in MP4, by the name's end."""
    import cv2

    kind = cv2.VideoWriter.fourcc(*("MJPG" if path.suffix == ".avi" else "mp4v"))
    writer = None
    for frame in frames:
        writer = writer or cv2.VideoWriter(str(path), kind, a_second, frame.size)
        writer.write(cv2.cvtColor(np.asarray(frame.convert("RGB")), cv2.COLOR_RGB2BGR))
    if writer is None or not writer.isOpened():
        raise OSError(f"{path}: no film was written")
    writer.release()
    return path
