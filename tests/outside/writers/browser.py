"""Opens pages in headless Chromium and keeps all that it says against them. Used by the scripts beside it."""

import contextlib
import os
import pathlib
import shutil
import sys

from playwright.sync_api import sync_playwright


def pages_of(folder):
    """The pages in a folder, by their names."""
    files = sorted(pathlib.Path(folder).glob("*.html"))
    if not files:
        sys.exit("there are no pages in the folder")
    return files


@contextlib.contextmanager
def chromium():
    """The browser of the system: playwright's own is not fetched."""
    program = shutil.which("chromium")
    if program is None:
        sys.exit("chromium does not run: tests/run sets it up")
    # The sandbox asks for rights that root in a container has not.
    options = ["--no-sandbox"] if os.geteuid() == 0 else []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=options)
        try:
            yield browser
        finally:
            browser.close()


def opened(browser, file, against, width=1280):
    """A page, opened; what the browser says of it later on is added to `against` as well."""
    page = browser.new_page(viewport={"width": width, "height": 900})
    own = file.resolve().as_uri()

    def say(what):
        against.append(f"{file.name}: {what}")

    page.on("console", lambda message: say(f"console says: {message.text}"))
    page.on("pageerror", lambda error: say(f"its script failed: {error}"))
    page.on("crash", lambda _: say("it crashed"))

    def asked(request):
        # A link within the page, and the icon that is no file, ask for nothing.
        if request.url.split("#")[0] != own and not request.url.startswith("data:"):
            say(f"asks for {request.url}")

    page.on("request", asked)
    # A machine that does much else at the same time takes its time.
    page.goto(own, timeout=120_000)
    return page


def tell(against):
    """Ends with what is said against the pages, if there is anything."""
    if against:
        sys.exit("\n".join(against))
