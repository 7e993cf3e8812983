"""Goes through the pages of a folder with the keyboard alone; fails with what cannot be done or seen that way.

    keyboard.py FOLDER
"""

import sys

from browser import chromium, opened, pages_of, tell

# What takes the focus, in the order of the page, as HTML has it; and boxes that scroll, which take it as well.
STOPS = """() => [...document.querySelectorAll('a[href], button, input, select, textarea, [tabindex]')]
    .filter((one) => one.tabIndex >= 0 && !one.disabled && !one.closest('[hidden]'))"""
MARK = f"() => ({STOPS})().forEach((one, index) => {{ one.dataset.stop = index; }})"
COUNT = f"() => ({STOPS})().length"
# The stop that has the focus, and whether people see that it has.
FOCUSED = """() => {
    const one = document.activeElement;
    if (!one || one === document.body || one === document.documentElement) { return null; }
    const style = getComputedStyle(one), box = one.getBoundingClientRect();
    const width = parseFloat(style.outlineWidth);
    return {
        stop: one.dataset.stop === undefined ? null : Number(one.dataset.stop),
        what: one.outerHTML.slice(0, 120),
        scrolls: one.scrollWidth > one.clientWidth || one.scrollHeight > one.clientHeight,
        marked: one.matches(':focus-visible') && style.outlineStyle !== 'none' && width >= 2,
        seen: box.width > 0 && box.height > 0 && box.bottom > 0 && box.right > 0
            && box.top < innerHeight && box.left < innerWidth
    };
}"""


def walk(page, key, say):
    """The stops in the order in which a key leads to them, until it has led to all that it leads to."""
    most = 3 * page.evaluate(COUNT) + 50
    order = []
    for _ in range(most):
        page.keyboard.press(key)
        at = page.evaluate(FOCUSED)
        if at is not None and not at["seen"]:
            # The browser scrolls a moment after the key, which a busy machine shows.
            page.wait_for_timeout(500)
            at = page.evaluate(FOCUSED)
        # Out of the page; or, where there is nothing but the page, round to where the way began.
        if at is None or at["stop"] in order:
            return order
        if not at["marked"]:
            say(f"nothing marks the focus on {at['what']}")
        if not at["seen"]:
            say(f"the focus is out of sight on {at['what']}")
        if at["stop"] is not None:
            order.append(at["stop"])
        elif not at["scrolls"]:
            say(f"the focus goes to what is no control: {at['what']}")
    say(f"{key} comes to no end in {most} steps")
    return order


def forth_and_back(page, say):
    page.evaluate(MARK)
    count = page.evaluate(COUNT)
    if count < 3:
        say(f"has only {count} stops")
    forth = walk(page, "Tab", say)
    if forth != list(range(count)):
        say(f"Tab goes through {forth} of {count} stops")
    back = walk(page, "Shift+Tab", say)
    if back != forth[::-1]:
        say(f"Shift+Tab does not go the way back: {back}")


def skip(page, say):
    """The first stop leads past the head of the page."""
    page.reload()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    inside = page.evaluate(
        "() => document.querySelector('main:target') !== null && document.activeElement.closest('main') !== null"
    )
    if not inside:
        say("the first link does not lead into the content")


def to(page, selector, say):
    """Goes on with Tab until something has the focus."""
    for _ in range(page.evaluate(COUNT) + 60):
        if page.evaluate("(selector) => document.activeElement.matches(selector)", selector):
            return
        page.keyboard.press("Tab")
    say(f"Tab does not lead to {selector}")


def filtered(page, say):
    """The filter with the keyboard alone."""
    page.reload()

    def shown():
        page.wait_for_timeout(300)
        told = int(page.locator("#filter-count").inner_text().split()[0])
        there = page.locator("article.finding:not([hidden])").count()
        if told != there:
            say(f"the filter tells {told} of {there}")
        return there

    everything = shown()
    to(page, "#words", say)
    word = page.evaluate("() => document.querySelector('article.finding').dataset.rule")
    page.keyboard.type(word)
    of_word = shown()
    if not 0 < of_word < everything:
        say(f"words find {of_word} of {everything}")
    page.keyboard.press("Control+A")
    page.keyboard.press("Delete")
    if shown() != everything:
        say("words that are taken away still filter")
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowDown")
    rule = page.evaluate("() => document.activeElement.value")
    of_rule = shown()
    if not rule or not 0 < of_rule < everything:
        say(f"the rule {rule!r} finds {of_rule} of {everything}")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    if page.evaluate("() => document.activeElement.checked") is not False:
        say("Space does not take the mark off a box")
    shown()
    to(page, "button[type=reset]", say)
    page.keyboard.press("Enter")
    if shown() != everything:
        say("the button does not show all again")
    # What is filtered away comes back where a link leads to it.
    to(page, "#words", say)
    page.keyboard.type("no finding says this")
    if shown() != 0:
        say("words that no finding has find some")
    page.evaluate("() => document.querySelector('#rules ~ * a[href^=\"#f\"]').focus()")
    page.keyboard.press("Enter")
    if shown() != everything:
        say("a link to what is filtered away leads nowhere")


def main(folder):
    against = []
    filters = 0
    with chromium() as browser:
        for file in pages_of(folder):
            page = opened(browser, file, against)

            def say(what, file=file):
                against.append(f"{file.name}: {what}")

            forth_and_back(page, say)
            skip(page, say)
            if page.locator("#filter").count() > 0:
                filters += 1
                filtered(page, say)
            page.close()
    if filters == 0:
        against.append("no page has a filter")
    tell(against)


if __name__ == "__main__":
    main(sys.argv[1])
