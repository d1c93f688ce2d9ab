"""Faults of input travel between processes as they were made."""

import pickle

from latebreak.engine.errors import Fault, InputError


def test_an_input_error_survives_pickling() -> None:
    error = InputError([Fault("a.b", "too large", "0 to 1", "make it smaller"), Fault("", "odd")], "file.toml")
    again = pickle.loads(pickle.dumps(error))
    assert (again.faults, again.source, str(again)) == (error.faults, error.source, str(error))
    assert str(again).splitlines()[0] == "file.toml: a.b: too large; allowed: 0 to 1; make it smaller"
