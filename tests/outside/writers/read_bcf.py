"""Reads a BCF archive as a viewer of models does, and writes what it found as JSON.

Usage: read_bcf.py FINDINGS.bcf OUT.json
"""

import json
import sys
import xml.etree.ElementTree as ET
import zipfile

from bcf.v3.bcfxml import BcfXml

path, out = sys.argv[1:]
found = []
with BcfXml.load(path) as archive:
    project = archive.project_info.project
    for guid, topic in archive.topics.items():
        views = topic.viewpoints
        visual = [view.visualization_info for view in views.values()]
        found.append(
            {
                "folder": guid,
                "guid": topic.topic.guid,
                "title": topic.topic.title,
                "type": topic.topic.topic_type,
                "labels": list(topic.topic.labels.label),
                "date": str(topic.topic.creation_date),
                "description": topic.topic.description,
                "views": [info.guid for info in visual],
                "elements": [
                    component.ifc_guid
                    for info in visual
                    if info.components.selection
                    for component in info.components.selection.component
                ],
                "cameras": [
                    [
                        [point.x, point.y, point.z]
                        for point in (
                            info.orthogonal_camera.camera_view_point,
                            info.orthogonal_camera.camera_direction,
                            info.orthogonal_camera.camera_up_vector,
                        )
                    ]
                    for info in visual
                ],
            }
        )
    result = {
        "version": archive.version.version_id,
        "project": [project.project_id, project.name],
        "topics": found,
    }
# Every part is XML in itself, whatever the reader looked at.
with zipfile.ZipFile(path) as parts:
    for name in parts.namelist():
        ET.fromstring(parts.read(name))
with open(out, "w", encoding="utf-8") as file:
    json.dump(result, file)
