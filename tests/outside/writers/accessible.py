"""Has axe-core look over the pages of a folder, with all its rules; fails with what it says against them.

    accessible.py FOLDER
"""

import sys

from axe_playwright_python.sync_playwright import Axe

from browser import chromium, opened, pages_of, tell

# What a page must have been looked over for: a run in which these found nothing to look at is none.
LOOKED_AT = {"color-contrast", "link-name", "label", "td-headers-attr", "html-has-lang", "heading-order", "region"}
# Rules that axe-core leaves to people where it cannot tell, and what people said who looked.
LEFT_TO_PEOPLE = {
    # Letters of one sign alone: the arrow under an excerpt, black on white as all of it.
    "color-contrast": 1,
    # The rules of one group are headed by a row of their own, with scope.
    "th-has-data-cells": 1,
}
# Of a drawing it sees title and description only; tests of the project's own look at its letters and lines.


def main(folder):
    against = []
    with chromium() as browser:
        for file in pages_of(folder):
            page = opened(browser, file, against)
            told = Axe().run(page).response
            for violation in told["violations"]:
                for node in violation["nodes"]:
                    summary = " ".join(node["failureSummary"].split())
                    against.append(f"{file.name}: {violation['id']}: {node['html'][:200]}: {summary}")
            for open_question in told["incomplete"]:
                nodes = open_question["nodes"]
                if len(nodes) > LEFT_TO_PEOPLE.get(open_question["id"], 0):
                    against.append(f"{file.name}: {open_question['id']} cannot tell: {nodes[-1]['html'][:200]}")
            passed = {rule["id"] for rule in told["passes"]}
            unseen = LOOKED_AT - passed - {violation["id"] for violation in told["violations"]}
            if "form" not in page.content() or page.locator("form").count() == 0:
                unseen.discard("label")
            if unseen:
                against.append(f"{file.name}: not looked at: {', '.join(sorted(unseen))}")
            page.close()
    tell(against)


if __name__ == "__main__":
    main(sys.argv[1])
