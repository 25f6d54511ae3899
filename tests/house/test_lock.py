"""What is installed is what the locks name, also when newer releases of everything are out."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import subprocess
import sys
import zipfile
from pathlib import Path

from house.tracked import ROOT

MAKEFILE = (ROOT / "Makefile").read_text("utf-8")


def test_make_installs_whole_locks_without_resolving() -> None:
    installs = re.findall(r"^\t(?:@?)\$\(INSTALL\)(.*)$", MAKEFILE, re.MULTILINE)

    assert len(installs) == 3
    assert all("$(LOCKED)" in line or "--no-deps" in line for line in installs)
    assert all(flag in _locked_flags() for flag in ("--no-deps", "--require-hashes"))


def test_readers_without_make_are_told_to_install_without_resolving_too() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")

    installs = re.findall(r"pip\s+install\s.*", readme)

    assert len(installs) == 3
    assert all("--no-deps" in line for line in installs)
    assert "--require-hashes" in installs[0]
    assert "--no-build-isolation" in installs[1]
    assert "--require-hashes" in installs[2]  # of a cluster


def test_a_newer_release_of_a_locked_package_changes_nothing(tmp_path: Path) -> None:
    asking = _wheel(tmp_path, "asking", "1.0", requires="asked[extra]>=1")
    locked = _wheel(tmp_path, "asked", "1.0")
    _wheel(tmp_path, "asked", "2.0")
    lock = tmp_path / "lock.txt"
    lock.write_text(
        f"asked==1.0 --hash=sha256:{_digest(locked)}\nasking==1.0 --hash=sha256:{_digest(asking)}\n"
    )

    told = subprocess.run(
        [sys.executable, "-m", "pip", "--isolated", "install", "--dry-run", "--ignore-installed",
         "--quiet", "--report", "-", "--no-index", "-f", tmp_path,
         *_locked_flags(), lock],
        capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert told.returncode == 0, told.stderr
    chosen = {item["metadata"]["name"]: item["metadata"]["version"]
              for item in json.loads(told.stdout)["install"]}  # fmt: skip
    assert chosen == {"asked": "1.0", "asking": "1.0"}


def _locked_flags() -> list[str]:
    """The options that the Makefile installs a lock with, ending with --requirement."""
    (flags,) = re.findall(r"^LOCKED := (.*)$", MAKEFILE, re.MULTILINE)
    return str(flags).split()


def _wheel(folder: Path, name: str, version: str, requires: str = "") -> Path:
    """Write the smallest wheel there is."""
    info, path = f"{name}-{version}.dist-info", folder / f"{name}-{version}-py3-none-any.whl"
    needs = f"Requires-Dist: {requires}\n" if requires else ""
    texts = {
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n{needs}",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = "".join(f"{file},{_record_digest(text)},{len(text)}\n" for file, text in texts.items())
    with zipfile.ZipFile(path, "w") as wheel:
        for file, text in {**texts, f"{info}/RECORD": f"{record}{info}/RECORD,,\n"}.items():
            wheel.writestr(file, text)
    return path


def _record_digest(text: str) -> str:
    digest = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest())
    return f"sha256={digest.decode().rstrip('=')}"


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
