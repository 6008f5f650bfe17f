"""Source of what a digest is of: W3C, Content Security Policy Level 3, 6.7.3.3 (the script's text,
as UTF-8)."""

from __future__ import annotations

import base64
import hashlib

from builder.publish.policy import guard_page, write_policy

PAGE = '<html><head><meta charset="utf-8"><script>{frame}</script></head><body>{text}</body></html>'
DATA = '<script type="application/json">{"a": 1}</script><script src="a.js"></script>'


def digest(script: str) -> str:
    return base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()


def test_the_frames_scripts_may_run_and_those_of_the_text_may_not() -> None:
    text = "<p>x</p><SCRIPT>evil()</SCRIPT >"
    guarded = guard_page(PAGE.format(frame="start()", text=text), text)
    assert f"'sha256-{digest('start()')}'" in guarded
    assert digest("evil()") not in guarded
    assert guarded.index("Content-Security-Policy") < guarded.index("<script")


def test_a_script_of_the_text_that_is_the_frames_own_is_no_way_round() -> None:
    text = "<script>start()</script>"
    assert digest("start()") not in guard_page(PAGE.format(frame="start()", text=text), text)


def test_data_and_files_need_no_digest() -> None:
    guarded = guard_page(PAGE.format(frame="start()", text=DATA))
    assert guarded.count("sha256-") == 1


def test_nothing_is_loaded_from_elsewhere_and_nothing_is_evaluated() -> None:
    policy = write_policy(["start()"])
    assert policy.startswith("default-src 'none'; ")
    assert "http" not in policy and "*" not in policy
    assert "unsafe-eval" not in policy
    (scripts,) = (rule for rule in policy.split("; ") if rule.startswith("script-src"))
    assert "unsafe-inline" not in scripts


def test_what_is_no_page_is_left_as_it_is() -> None:
    assert guard_page("<p>x</p>") == "<p>x</p>"
