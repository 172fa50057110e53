"""Draws webui/icons/icon.svg as the pictures that phones want. Run by hand after a change of the drawing.

A maskable icon is cut to any shape by the phone: its drawing keeps to the middle four fifths, on a ground
that reaches every edge (W3C "Web Application Manifest", section "Icon masks and safe zone").
"""

from __future__ import annotations

import shutil
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ICONS = Path(__file__).parents[2] / "webui" / "icons"
GROUND = "#1d4d4f"


def draw(page: Page, size_px: int, scale: float, ground: str, file: str) -> None:
    svg = (ICONS / "icon.svg").read_text()
    page.set_viewport_size({"width": size_px, "height": size_px})
    style = f"margin:0;background:{ground};display:grid;place-items:center;height:100vh"
    inner = f"<div style='width:{scale:.0%};aspect-ratio:1'>{svg}</div>"
    page.set_content(f"<body style='{style}'>{inner}</body>")
    page.screenshot(path=ICONS / file, omit_background=True)


def main() -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page()
        draw(page, 192, 1.0, "transparent", "icon-192.png")
        draw(page, 512, 1.0, "transparent", "icon-512.png")
        draw(page, 512, 0.86, GROUND, "icon-maskable-512.png")
        browser.close()


if __name__ == "__main__":
    main()
