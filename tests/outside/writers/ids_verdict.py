"""Checks a model against an IDS, and says of each requirement which elements fail.

Usage: ids_verdict.py REQUIREMENTS.ids MODEL.ifc OUT.json

First the IDS is held against the XML Schema that ifctester carries. The exit code of ifctester says nothing of the
model, so its report is read.
"""

import json
import os
import sys

import ifcopenshell
import ifctester
import ifctester.ids
import ifctester.reporter
import xmlschema

requirements, model, out = sys.argv[1:]
schema = xmlschema.XMLSchema(os.path.join(os.path.dirname(ifctester.__file__), "ids.xsd"))
schema.validate(requirements)

asked = ifctester.ids.open(requirements)
# The report looks into the model once more, so it has to stay.
opened = ifcopenshell.open(model)
asked.validate(opened)
report = ifctester.reporter.Json(asked)
report.report()
found = json.loads(report.to_string())

verdict = []
for specification in found["specifications"]:
    for requirement in specification["requirements"]:
        verdict.append(
            {
                "specification": specification["name"],
                "applicable": specification["total_applicable"],
                "property": requirement["metadata"].get("baseName", {}).get("simpleValue"),
                "set": requirement["metadata"].get("propertySet", {}).get("simpleValue"),
                "failed": sorted(one["name"] or "" for one in requirement["failed_entities"]),
            }
        )
with open(out, "w", encoding="utf-8") as file:
    json.dump(verdict, file)
