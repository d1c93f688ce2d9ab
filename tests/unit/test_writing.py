"""Files that commands write: whole or not at all, and over nothing but what latebreak wrote."""

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from latebreak.service.writing import OutputFileError, Own, check_place, new_file, write

OURS = Own("list of ours", lambda file: file.read(4) == b"ours")


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def test_a_new_file(tmp_path: Path) -> None:
    place = tmp_path / "new.txt"
    check_place(place)
    write(place, "a\nµ\n")
    assert place.read_bytes() == "a\nµ\n".encode()
    mask = os.umask(0)
    os.umask(mask)
    assert stat.S_IMODE(place.stat().st_mode) == 0o666 & ~mask
    assert names(tmp_path) == ["new.txt"]


@pytest.mark.parametrize("own", [None, OURS])
@pytest.mark.parametrize("content", ["", "mine", " ours"])
def test_what_somebody_else_wrote_stays(tmp_path: Path, own: Own | None, content: str) -> None:
    place = tmp_path / "mine.txt"
    place.write_text(content)
    with pytest.raises(OutputFileError, match=r"mine.txt exists already.* and is not overwritten; choose another name"):
        write(place, "ours", own)
    assert place.read_text() == content
    assert names(tmp_path) == ["mine.txt"]


@pytest.mark.skipif(sys.platform == "win32", reason="no such permissions there")
def test_what_latebreak_wrote_is_written_anew_and_stays_private(tmp_path: Path) -> None:
    place = tmp_path / "list.txt"
    place.write_text("ours, of last week")
    place.chmod(0o600)
    write(place, "ours, of today", OURS)
    assert place.read_text() == "ours, of today"
    assert stat.S_IMODE(place.stat().st_mode) == 0o600


def test_a_link_is_not_followed(tmp_path: Path) -> None:
    target = tmp_path / "target.txt"
    target.write_text("ours, and elsewhere")
    for number, aim in enumerate((target, tmp_path / "nothing", tmp_path)):
        link = tmp_path / f"link{number}"
        link.symlink_to(aim)
        with pytest.raises(OutputFileError, match="is a link, which is not followed"):
            write(link, "ours", OURS)
        assert link.is_symlink()
    assert target.read_text() == "ours, and elsewhere"
    assert names(tmp_path) == ["link0", "link1", "link2", "target.txt"]


def test_places_where_no_file_can_stand(tmp_path: Path) -> None:
    for place, why in {
        tmp_path: "is a folder",
        Path(): "is a folder",
        tmp_path / "none" / "x.txt": "there is no folder",
        tmp_path / ("x" * 300): "can't be written: File name too long",
        Path("/dev/null"): "exists already",
    }.items():
        with pytest.raises(OutputFileError, match=why):
            check_place(place, OURS)
    assert names(tmp_path) == []


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the administrator may write everywhere")
def test_a_folder_that_is_write_protected_is_said_before_the_work(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(OutputFileError, match="is write-protected"):
        check_place(tmp_path / "x.txt")
    tmp_path.chmod(0o700)


def test_an_error_or_an_interrupt_leaves_the_old_file(tmp_path: Path) -> None:
    place = tmp_path / "list.txt"
    place.write_text("ours, of last week")

    def half(error: type[BaseException]) -> None:
        with new_file(place, OURS) as file:
            file.write(b"ours, half")
            raise error

    for error in (KeyboardInterrupt, ZeroDivisionError):
        with pytest.raises(error):
            half(error)
    assert place.read_text() == "ours, of last week"
    assert names(tmp_path) == ["list.txt"]


FILL = """
import resource, sys
from pathlib import Path
from latebreak.service.writing import Own, write
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
write(Path(sys.argv[1]), "ours" * 1000, Own("list of ours", lambda file: True))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no such limits there")
@pytest.mark.parametrize("before", [None, "ours, of last week"])
def test_a_full_disk_leaves_the_old_file(tmp_path: Path, before: str | None) -> None:
    place = tmp_path / "list.txt"
    if before is not None:
        place.write_text(before)
    paths = os.pathsep.join(filter(None, sys.path))
    done = subprocess.run(
        [sys.executable, "-c", FILL, str(place)],
        capture_output=True, text=True, check=False, env={**os.environ, "PYTHONPATH": paths},
    )  # fmt: skip
    assert done.stderr.splitlines()[-1].endswith(f"OutputFileError: {place} can't be written: File too large")
    assert names(tmp_path) == ([] if before is None else ["list.txt"])
    assert before is None or place.read_text() == before


def test_what_comes_to_stand_there_meanwhile_stays(tmp_path: Path) -> None:
    place = tmp_path / "mine.txt"

    def meanwhile() -> None:
        with new_file(place) as file:
            file.write(b"ours")
            place.write_text("mine")

    with pytest.raises(OutputFileError, match="exists already"):
        meanwhile()
    assert place.read_text() == "mine"
    assert names(tmp_path) == ["mine.txt"]
