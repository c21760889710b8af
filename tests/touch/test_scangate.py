"""The same tag read again and again is one scan; other tags pass meanwhile."""

from checkapp.touch.scangate import ScanGate


def test_the_same_text_within_a_second_is_one_scan():
    gate = ScanGate()
    assert gate.take("QN.LEFT.Y", 100.0)
    assert not gate.take("QN.LEFT.Y", 100.99)


def test_after_a_second_without_it_the_same_text_is_a_scan_again():
    gate = ScanGate()
    assert gate.take("QN.LEFT.Y", 100.0)
    assert gate.take("QN.LEFT.Y", 101.0)


def test_a_tag_that_stays_before_the_scanner_is_one_scan_however_long():
    gate = ScanGate()
    assert [gate.take("QN.LEFT.Y", 100.0 + 0.2 * n) for n in range(50)].count(True) == 1


def test_two_tags_read_in_turns_are_two_scans():
    gate = ScanGate()
    assert [gate.take(text, 100.0 + 0.1 * n) for n, text in enumerate("ABABAB")] == [True, True] + [False] * 4


def test_a_clock_that_goes_back_loses_no_scan():
    gate = ScanGate()
    assert gate.take("A", 100.0)
    assert gate.take("A", 50.0)
