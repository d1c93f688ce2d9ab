"""TOML from anybody: what is too deep is refused before it is parsed, and nothing else is."""

import tomllib
import tracemalloc
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latebreak.engine.errors import InputError
from latebreak.engine.stopping import StoppedError, stoppable
from latebreak.service.scenario import parse
from latebreak.service.throws import parse_throws
from latebreak.service.toml_text import MOST_BRACKETS, MOST_PARTS, TooDeepError, read_toml

SCENARIOS = Path(__file__).parents[2] / "scenarios"
LONG_KEY = ".".join(["a"] * 16_000)
DEEP = {
    "a key": f"{LONG_KEY} = 1",
    "a key with blanks": LONG_KEY.replace(".", " .\t") + " = 1",
    "a key in quotes": LONG_KEY.replace("a", '"a"') + " = 1",
    "a key in other quotes": LONG_KEY.replace("a", "'a'") + " = 1",
    "a table": f"[{LONG_KEY}]",
    "a list of tables": f"[[{LONG_KEY}]]",
    "a key in brackets": f"x = {{{LONG_KEY} = 1}}",
    "after a text": f'x = """ " "" \\""" # """\n{LONG_KEY} = 1',
    "after a text of quotes": f"x = ''''''\ny = '''a'''''\n{LONG_KEY} = 1",
    "lists": "x = " + "[" * 10_000,
    "closed lists": "x = " + "[" * 5_000 + "]" * 5_000,
    "inline tables": "x = " + "{a=" * 10_000,
}


@pytest.mark.parametrize("name", DEEP)
def test_what_is_deep_is_refused_in_little_memory(name: str) -> None:
    """The parser takes 16,000^2 / 2 names of eight bytes for such a key: a gigabyte."""
    tracemalloc.start()
    try:
        with pytest.raises(TooDeepError):
            read_toml(DEEP[name])
        assert tracemalloc.get_traced_memory()[1] < 5e6
    finally:
        tracemalloc.stop()


def test_scenarios_and_column_maps_say_what_is_too_deep() -> None:
    with pytest.raises(InputError, match=r"^x.toml: a key has 16,000 parts; allowed: at most 8; names with dots"):
        parse(DEEP["a key"], "x.toml")
    with pytest.raises(InputError, match="'column map': a key has 16,000 parts"):
        parse_throws(b"pitch\ncurve\n", DEEP["a key"].encode())


def test_large_column_maps_are_refused() -> None:
    with pytest.raises(InputError, match=r"it is larger than 0\.1 MB"):
        parse_throws(b"pitch\ncurve\n", b"# " + 100_000 * b"x")


@pytest.mark.parametrize(
    "text", ["[columns]\n" + "".join(f'"c{i}" = "?"\n' for i in range(2000)), "".join(f"[c{i}]\n" for i in range(2000))]
)
def test_column_maps_with_very_many_entries_are_refused(text: str) -> None:
    with pytest.raises(InputError, match=r"the map has 2,00\d entries; allowed: at most 1,000$"):
        parse_throws(b"pitch\ncurve\n", text.encode())


@pytest.mark.parametrize("path", sorted(SCENARIOS.glob("*.toml")), ids=lambda path: path.stem)
def test_ready_files_are_read_as_ever(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert read_toml(text) == tomllib.loads(text)


@pytest.mark.parametrize(
    "text",
    [
        'title = "a.b.c.d.e.f.g.h.i.j.k.l, ((((([[[[[[[[[[[[{{{{{"',
        "x = 1 # a.b.c.d.e.f.g.h.i.j.k.l [[[[[[[[[[[[",
        "x = '''\n" + 20 * "a.b.c.d.e.f.g.h.i.j\n" + "'''",
        'x = """\n' + 20 * 'a.b.c.d.e.f.g.h.i.j \\" ""\n' + '"""',
        "x = [" + 50 * "1.5, " + "]",
        "x = [\n" + 50 * "1979-05-27T07:32:00.999, # a\n" + "]",
        ".".join("abcdefgh"[:MOST_PARTS]) + " = 1",
        "x = " + MOST_BRACKETS * "[" + MOST_BRACKETS * "]",
        '"a.b.c.d.e.f.g.h.i.j" = 1',
        "x = ''\ny = \"\"",
    ],
)
def test_dots_and_brackets_that_are_no_keys_do_not_count(text: str) -> None:
    assert read_toml(text) == tomllib.loads(text)


PIECES = st.sampled_from(
    ["a", "b", ".", '"', "'", '"""', "'''", "\\", "#", "\n", "=", "[", "]", "{", "}", ",", " ", "1"]
)


def depth(value: object) -> int:
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else None
    return 0 if inner is None else 1 + max(map(depth, inner), default=0)


@given(st.lists(PIECES, max_size=40).map("".join))
def test_what_is_shallow_is_read_and_what_is_deep_never(text: str) -> None:
    expected = read = None
    with suppress(ValueError):
        expected = tomllib.loads(text)
    with suppress(ValueError):  # too deep, or no TOML
        read = read_toml(text)
    assert read == expected or (read is None and depth(expected) >= min(MOST_PARTS, MOST_BRACKETS))


def test_who_does_not_wait_any_more_stops_it() -> None:
    with stoppable(lambda: True), pytest.raises(StoppedError):
        read_toml("a = 1")
