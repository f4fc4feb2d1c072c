"""The launcher: what counts as set up, what it says when it cannot, and where it starts floatbowl."""

import importlib.util
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

import floatbowl

ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture
def go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """Give the launcher, standing in an empty folder with a lock of two parts."""
    spec = importlib.util.spec_from_file_location("go_under_test", ROOT / "go.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    (tmp_path / "requirements.lock").write_text("one==1 \\\n  --hash=sha256:1\ntwo==2\n", encoding="utf-8")
    places = {"ROOT": ".", "LOCK": "requirements.lock", "ENV": ".venv", "STAMP": ".venv/set-up"}
    for name, place in places.items():
        monkeypatch.setattr(module, name, (tmp_path / place).resolve())
    monkeypatch.setattr(module, "PYTHON", tmp_path / ".venv" / "bin" / "python")
    return module


@pytest.fixture
def whole(go: ModuleType) -> ModuleType:
    """Give the launcher with a set-up behind it."""
    go.PYTHON.parent.mkdir(parents=True)
    go.PYTHON.symlink_to(sys.executable)
    go.STAMP.write_text(go.wanted_stamp(), encoding="utf-8")
    return go


def test_a_bare_clone_is_not_set_up(go: ModuleType) -> None:
    """Without an environment there is work to do."""
    assert not go.is_set_up()


def test_a_stamped_environment_is_set_up(whole: ModuleType) -> None:
    """With the stamp of this lock, folder and Python there is nothing to do."""
    assert whole.is_set_up()


@pytest.mark.parametrize("lost", ["STAMP", "PYTHON"])
def test_half_a_set_up_counts_for_none(whole: ModuleType, lost: str) -> None:
    """An interrupted set-up, without stamp or without Python, is done anew."""
    getattr(whole, lost).unlink()
    assert not whole.is_set_up()


def test_another_lock_asks_for_another_set_up(whole: ModuleType) -> None:
    """When the lock changes, the environment is made anew."""
    whole.LOCK.write_text("one==3\n", encoding="utf-8")
    assert not whole.is_set_up()


def test_another_python_asks_for_another_set_up(whole: ModuleType, tmp_path: Path) -> None:
    """When a newer Python stands where the old one stood, the environment is made anew."""
    newer = tmp_path / "python3.99"
    newer.touch()
    whole.PYTHON.unlink()
    whole.PYTHON.symlink_to(newer)
    assert not whole.is_set_up()


def test_the_parts_of_the_lock_are_counted(go: ModuleType) -> None:
    """The sentence before the long wait says how many parts come."""
    assert go.count_of_parts() == 2


def test_an_old_python_is_told_so(go: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """A Python that is too old gets a sentence, not a traceback."""
    monkeypatch.setattr(go, "FLOOR", (99, 0))
    with pytest.raises(SystemExit, match=r"needs Python 99\.0 or newer"):
        go.main([])


def test_a_missing_piece_of_python_is_named(go: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where Debian leaves out what fills an environment, and we may not install it, the package is named."""
    monkeypatch.setattr(go, "find_spec", lambda _name: None)
    monkeypatch.setattr(go.shutil, "which", lambda _name: None)
    with pytest.raises(SystemExit, match=rf"apt-get install python3\.{sys.version_info.minor}-venv"):
        go.bring_ensurepip()


def test_root_on_debian_gets_the_missing_piece(go: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """As root on Debian the missing package is installed and the set-up goes on."""
    asked: list[list[str]] = []
    monkeypatch.setattr(go.shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr(go.os, "geteuid", lambda: 0)
    monkeypatch.setattr(go.subprocess, "run", lambda words, **_how: asked.append(words))
    monkeypatch.setattr(go, "find_spec", lambda _name: object() if asked else None)
    go.bring_ensurepip()
    assert asked[0][1:] == ["update"]
    assert asked[1][-1] == f"python3.{sys.version_info.minor}-venv"


def test_the_browser_is_brought_where_that_can_be_done(
    go: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As root on Debian the tests install the browser that they need, when it is not there."""
    asked: list[list[str]] = []
    monkeypatch.setattr(go.shutil, "which", lambda name: None if name == "chromium" else f"/usr/bin/{name}")
    monkeypatch.setattr(go.os, "geteuid", lambda: 0)
    monkeypatch.setattr(go.subprocess, "run", lambda words, **_how: asked.append(words))
    go.bring_browser()
    assert "chromium" in asked[1]


@pytest.mark.parametrize(("has_browser", "user"), [(True, 0), (False, 1000)])
def test_nobody_is_asked_for_a_browser_without_need(
    go: ModuleType, monkeypatch: pytest.MonkeyPatch, *, has_browser: bool, user: int
) -> None:
    """Nothing is installed where the browser is there, or where we may not install."""
    monkeypatch.setattr(go.shutil, "which", lambda name: f"/usr/bin/{name}" if has_browser else None)
    monkeypatch.setattr(go.os, "geteuid", lambda: user)
    monkeypatch.setattr(go.subprocess, "run", lambda *_words, **_how: pytest.fail("something was installed"))
    go.bring_browser()


def test_a_failed_install_shows_its_last_words(go: ModuleType, capfd: pytest.CaptureFixture[str]) -> None:
    """A step that fails ends the set-up with what it said last, and says what to do."""
    with pytest.raises(SystemExit, match="Run the same command to try again"):
        go.run_or_explain([sys.executable, "-c", "print('no room on the disk'); raise SystemExit(1)"])
    assert "no room on the disk" in capfd.readouterr().err


def test_two_first_runs_wait_for_one_another(go: ModuleType, tmp_path: Path) -> None:
    """While one run holds the set-up, a second says that it waits, and goes on when the first lets go."""
    ask = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r}); import go; from pathlib import Path\n"
        f"go.ROOT = Path({str(tmp_path)!r})\n"
        "with go.only_one_at_a_time(): print('mine', flush=True)"
    )
    with go.only_one_at_a_time():
        second = subprocess.Popen(
            [sys.executable, "-c", ask], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )
        assert second.stderr is not None
        assert "waiting" in second.stderr.readline()
    out, _ = second.communicate(timeout=20)
    assert out.strip() == "mine"


@pytest.mark.door
def test_words_go_to_floatbowl_where_we_stand(tmp_path: Path) -> None:
    """A word that is not "test" is floatbowl's, and a file name is read from the folder we are in."""
    ran = subprocess.run(
        [sys.executable, ROOT / "go.py", "check", "not-there.toml"],
        cwd=tmp_path,
        check=False,
        capture_output=True,
        text=True,
    )
    assert ran.returncode == 3
    assert "not-there.toml" in ran.stdout + ran.stderr


@pytest.mark.door
def test_the_clone_knows_its_version() -> None:
    """Without ever having been built or installed, floatbowl says which version it is."""
    ran = subprocess.run(
        [sys.executable, ROOT / "go.py", "--version"], check=False, capture_output=True, text=True
    )
    assert ran.stdout.strip() == f"floatbowl {floatbowl.__version__}"
