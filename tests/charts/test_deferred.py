"""What is made when it is asked for is what would have been made at once."""

from __future__ import annotations

from functools import partial

from trialpress.view import Deferred


def test_values_are_made_once_each_and_only_those_that_are_asked_for() -> None:
    made: list[str] = []

    def make(name: str) -> str:
        made.append(name)
        return name.upper()

    names = "stick", "robot", "mop"
    deferred = Deferred({name: partial(make, name) for name in names})

    assert (tuple(deferred), len(deferred)) == (names, 3)
    assert "mop" in deferred
    assert "broom" not in deferred
    assert made == []
    assert (deferred["robot"], deferred["robot"], deferred.get("broom")) == ("ROBOT", "ROBOT", None)
    assert made == ["robot"]
    assert dict(deferred) == {name: name.upper() for name in names}
    assert made == ["robot", "stick", "mop"]
