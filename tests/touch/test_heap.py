"""What was taken in a large piece is the system's again once it is freed, by what the C library says of itself."""

import ctypes
import os
import subprocess
import sys

import pytest

from checkapp.touch import heap

TAKEN = """
import ctypes, sys, threading
from checkapp.touch.heap import LARGE, give_back_large

class Heap(ctypes.Structure):
    _fields_ = [(name, ctypes.c_size_t) for name in ("arena", "o", "s", "h", "large", "u", "f", "used", "free", "k")]

library = ctypes.CDLL(None)
library.mallinfo2.restype, library.malloc.restype, library.free.argtypes = Heap, ctypes.c_void_p, [ctypes.c_void_p]
library.malloc.argtypes = [ctypes.c_size_t]

def held():
    told = library.mallinfo2()
    return told.arena + told.large

def work():
    began = held()
    for times in (1, 2, 3, 4, 5):
        library.free(library.malloc(times * 4 * LARGE))
    pieces = [library.malloc(LARGE // 2) for _ in range(20)]
    for piece in pieces:
        library.free(piece)
    print(round((held() - began) / LARGE, 1))

if sys.argv[1] == "ours":
    assert give_back_large()
worker = threading.Thread(target=work)
worker.start()
worker.join()
"""


def kept(how):
    """So many large pieces' worth of memory is kept by the thread that freed all it took."""
    said = subprocess.run([sys.executable, "-c", TAKEN, how], capture_output=True, text=True, check=True).stdout
    return float(said)


def test_a_worker_that_freed_what_it_took_keeps_no_large_piece():
    if not hasattr(ctypes.CDLL(None), "mallinfo2"):
        pytest.skip("mallinfo2 of glibc 2.33 or later is missing: nothing tells what the heap holds")
    assert kept("ours") <= 1.5
    assert kept("the library's own") >= 8.0


def test_another_c_library_is_left_as_it_is(monkeypatch):
    called = []
    monkeypatch.setattr(heap.ctypes, "CDLL", called.append)
    for names in ({}, os.confstr_names):
        monkeypatch.setattr(os, "confstr_names", names)
        monkeypatch.setattr(os, "confstr", lambda _name: "")
        assert not heap.give_back_large()
    assert called == []
