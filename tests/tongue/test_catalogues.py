"""Each message has a German, each German a message, and both fill in the same things."""

import sys
from pathlib import Path

import pytest
from babel.messages.pofile import read_po

from checkapp.tongue.catalogue import ENGLISH, LANGUAGES, ROOM

sys.path.insert(0, str(Path(__file__).parent))

from source_messages import IDS, calls, fields_of, plain_words

OTHERS = [code for code in LANGUAGES if code != ENGLISH]


def catalogue(code):
    with (ROOM / f"{code}.po").open("rb") as file:
        return read_po(file, locale=code, abort_invalid=True)


def translated(code):
    """(context, msgid) to the translations, one or one per form."""
    found = {}
    for message in catalogue(code):
        if message.id:
            one = message.id if isinstance(message.id, str) else message.id[0]
            words = (message.string,) if isinstance(message.string, str) else tuple(message.string)
            found[message.context, one] = (message.id, words)
    return found


CALLS = calls()
USED = {(call.context, call.ids[0]) for call in CALLS if None not in call.words}


def test_messages_are_written_out_where_they_are_used():
    assert [call.where for call in CALLS if len(call.words) < IDS[call.function] or None in call.words] == []


def test_layouts_show_no_words_but_messages():
    assert list(plain_words()) == []


def test_messages_are_filled_with_the_fields_they_name():
    wrong = [
        (call.where, text)
        for call in CALLS
        for text in call.ids
        if text and call.function != "later" and call.fields is not None
        if not (fields_of(text) <= call.fields) or (call.function != "trn" and fields_of(text) != call.fields)
    ]
    assert wrong == []


@pytest.mark.parametrize("code", OTHERS)
def test_each_message_has_a_translation(code):
    there = {key for key, (_, words) in translated(code).items() if all(words)}
    missing = sorted({f"{call.where} {call.ids[0]}" for call in CALLS if (call.context, call.ids[0]) not in there})
    assert missing == []


@pytest.mark.parametrize("code", OTHERS)
def test_each_translation_is_used(code):
    assert sorted(set(map(str, translated(code).keys() - USED))) == []


@pytest.mark.parametrize("code", OTHERS)
def test_plurals_are_translated_as_plurals(code):
    many = {(call.context, call.ids[0]): call.ids for call in CALLS if call.function == "trn"}
    single = {(call.context, call.ids[0]) for call in CALLS if call.function != "trn"}
    assert many.keys() & single == set()
    there = translated(code)
    assert [key for key, ids in many.items() if key in there and there[key][0] != ids] == []
    assert [key for key in single if key in there and not isinstance(there[key][0], str)] == []


@pytest.mark.parametrize("code", OTHERS)
def test_translations_fill_in_what_their_messages_fill_in(code):
    wrong = []
    for key, (ids, words) in translated(code).items():
        each = (ids,) if isinstance(ids, str) else ids
        wrong += [key for text, word in zip(each, words, strict=True) if word and fields_of(text) != fields_of(word)]
    assert wrong == []


@pytest.mark.parametrize("code", OTHERS)
def test_translations_end_and_begin_as_their_messages(code):
    """A full stop that is missing, a line that breaks elsewhere."""
    wrong = []
    for ids, words in translated(code).values():
        each = (ids,) if isinstance(ids, str) else ids
        wrong += [
            text
            for text, word in zip(each, words, strict=True)
            if word and (text.count("\n") != word.count("\n") or (text[-1:] in ".:?" and word[-1:] != text[-1:]))
        ]
    assert wrong == []
