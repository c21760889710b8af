"""The link before each tag: capitals, one stroke between, and what no QR of ours can hold refused by name."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.rig.codes import Tag
from checkapp.rig.errors import CheckappError
from checkapp.tags.label import Label
from checkapp.tags.link import LONGEST, LinkRefused, link_of
from checkapp.tags.qr import symbol


@pytest.mark.parametrize(
    ("base", "link"),
    [
        ("https://tags.example", "HTTPS://TAGS.EXAMPLE/"),
        ("https://tags.example/", "HTTPS://TAGS.EXAMPLE/"),
        ("http://tags.example/crew/t", "HTTP://TAGS.EXAMPLE/CREW/T/"),
        ("HTTPS://192.0.2.7:8080/T", "HTTPS://192.0.2.7:8080/T/"),
    ],
)
def test_a_link_is_in_capitals_and_ends_in_one_stroke(base, link):
    assert link_of(base) == link


@pytest.mark.parametrize(
    ("base", "said"),
    [
        ("https://tags.example/?tag=", r"characters that do not fit: \?, =; use letters, digits and"),
        ("https://tags.example/a_b", "do not fit: _;"),
        ("https://tags.example/a b", "do not fit: a blank;"),
        ("https://täg.example", "do not fit: ä;"),
        ("https://straße.example", "do not fit: ß;"),
        ("https://tags.example/\n", r"do not fit: \\n;"),
        ("https://tags.example/#x", "do not fit: #;"),
        ("", "is no web address; begin it with https://"),
        ("tags.example", "the link tags.example is no web address"),
        ("ftp://tags.example", "is no web address"),
        ("https://", "is no web address"),
        ("https:///x", "is no web address"),
        ("https://tags.example/" + "x" * 100, "the link is 121 characters long; at most 120"),
    ],
)
def test_a_link_that_cannot_be(base, said):
    with pytest.raises(LinkRefused, match=said) as refused:
        link_of(base)
    assert isinstance(refused.value, CheckappError)
    assert str(refused.value).isprintable()


@given(st.text(max_size=130))
def test_any_text_is_a_link_that_a_qr_holds_or_is_refused(rest):
    base = f"https://t{rest}"
    try:
        link = link_of(base)
    except LinkRefused:
        return
    assert link.rstrip("/") == base.upper().rstrip("/")
    assert len(link) <= LONGEST + 1
    payload = Label(Tag("SM", "SB1"), "box", link=link).payload
    assert symbol(payload).text == payload
