//! The guides name what is there.

use std::path::Path;

fn root() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

#[test]
fn every_path_in_the_guides_is_there() {
    let mut named = 0;
    for guide in ["README.md", "DEVELOPERS.md"] {
        let text = std::fs::read_to_string(root().join(guide)).expect(guide);
        // What stands between single backticks, outside fenced blocks.
        let prose: String = text.split("```").step_by(2).collect::<Vec<_>>().join("\n");
        for span in prose.split('`').skip(1).step_by(2) {
            let first = span.split('/').next().unwrap_or_default();
            let is_path = ["core", "plugins", "schemas", "tests", "fixtures", ".ci"]
                .contains(&first)
                && span.contains('/');
            if !is_path || span.contains(['<', '*', ' ']) {
                continue;
            }
            named += 1;
            assert!(root().join(span).exists(), "{guide} names {span}, which is not there");
        }
    }
    assert!(named > 10, "the guides name paths");
}

#[test]
fn the_map_names_every_room() {
    let guide = std::fs::read_to_string(root().join("DEVELOPERS.md")).expect("the guide is there");
    for entry in std::fs::read_dir(root().join("core")).expect("core is there") {
        let name = entry.expect("an entry").file_name();
        let name = name.to_string_lossy();
        if name != "plugin" {
            assert!(guide.contains(&format!("core/{name}")), "the map lacks core/{name}");
        }
    }
}
