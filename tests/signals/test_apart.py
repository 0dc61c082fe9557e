"""A process of its own: results come back, a death or an endless task is None, and the next call works again."""

from __future__ import annotations

import os
import pickle
import time

import pytest

from authorkit.signals.apart import apart
from authorkit.signals.capture import CaptureError


def test_the_result_comes_back_from_one_process_that_stays():
    first, second = apart(os.getpid), apart(os.getpid)
    assert first == second
    assert first != os.getpid()


@pytest.mark.parametrize(("function", "argument"), [(os.abort, ()), (time.sleep, (60,))])
def test_a_process_that_dies_or_takes_too_long_gives_none_and_is_replaced(function, argument):
    before = apart(os.getpid)
    assert apart(function, *argument, seconds=0.5) is None
    after = apart(os.getpid)
    assert after not in (None, before)


def test_an_error_keeps_all_it_says_on_its_way():
    error = CaptureError("No.", "this", expected="that", suggestion="Do.", line=7)
    back = pickle.loads(pickle.dumps(error))
    assert (str(back), back.found, back.expected, back.suggestion, back.line) == ("No.", "this", "that", "Do.", 7)
