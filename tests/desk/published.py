"""A bench with a site that looks built, and the commands that publish it."""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

from typed import Said, trialpress

JUNE = str(1_938_556_800)  # 2031-06-07


def write_site(bench: Path, pages: dict[str, str], **report: object) -> None:
    site = bench / "build" / "site"
    for old in sorted(site.rglob("*.html")) if site.is_dir() else []:
        old.unlink()
    for name, text in {**pages, ".gitignore": "*", "style.css": "a{}\r\n"}.items():
        (site / name).parent.mkdir(parents=True, exist_ok=True)
        (site / name).write_text(text, encoding="utf-8", newline="")
    content = {"as_of": "2031-06-07", "written": ["site"], "findings": [], **report}
    (bench / "build" / "report.json").write_text(json.dumps(content), encoding="utf-8")


def git(*arguments: str, folder: Path) -> str:
    who = {
        f"GIT_{role}_{what}": "me" for role in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")
    }
    return subprocess.run(
        ["git", *arguments],
        cwd=folder,
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, **who},
    ).stdout


def publish(bench: Path, *arguments: str) -> Said:
    return trialpress("publish", *arguments, folder=bench, SOURCE_DATE_EPOCH=JUNE)
