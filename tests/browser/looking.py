"""What may be wrong with a screen as it stands, in both lights, with text at its size and at twice that."""

from __future__ import annotations

from typing import Literal

from axe_playwright_python.sync_playwright import Axe
from phones import Phone
from screen_visits import ask_look

Look = tuple[int, Literal["light", "dark"]]
EVERY: tuple[Look, ...] = ((16, "light"), (16, "dark"), (32, "light"), (32, "dark"))
#: Where faint text is measured at every size, a light need not be looked at in both.
IN_WORK: tuple[Look, ...] = ((16, "light"), (32, "dark"))
RUN_AXE = """
async (isWork) => {
  const rules = { "color-contrast-enhanced": { enabled: isWork } };
  const { violations } = await axe.run({ resultTypes: ["violations"], rules });
  const places = (nodes) => nodes.slice(0, 3).map(({ target }) => target);
  return violations.map(({ id, help, nodes }) => `${id}, ${help}: ${places(nodes)}`);
}
"""


def look(phone: Phone, name: str) -> list[str]:
    """What axe finds; what is too wide or not to be pressed once text is large; in Work also what is faint.

    Axe passes over what is disabled, so faint text is looked for once more. The page must take the styles
    which axe writes to measure: `bypass_csp`.
    """
    session = phone.context.new_cdp_session(phone.page)
    found: list[str] = []
    is_work = "#/work/" in phone.page.url
    if not phone.ask("Boolean(globalThis.axe)"):
        phone.page.evaluate(Axe().axe_script)
    for size, light in IN_WORK if is_work else EVERY:
        session.send("Page.setFontSizes", {"fontSizes": {"standard": size, "fixed": size}})
        phone.page.emulate_media(color_scheme=light)
        seen = phone.ask(RUN_AXE, is_work)
        if is_work:
            seen += [f"faint, {one}" for one in ask_look(phone, "tooFaint", 7)]
            seen += [f"read too late, {one}" for one in ask_look(phone, "outOfOrder")]
        found += [f"{name}, {light}, {size}: {one}" for one in seen]
    found += [f"{name}, 32, too wide: {one}" for one in ask_look(phone, "tooWide")]
    found += [f"{name}, 32, covered: {one}" for one in ask_look(phone, "covered")]
    session.send("Page.setFontSizes", {"fontSizes": {"standard": 16, "fixed": 13}})
    session.detach()
    phone.page.emulate_media(color_scheme="light")
    return found
