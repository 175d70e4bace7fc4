//! Arrows between crates, read from every manifest.

use farhop_architecture::{Room, rooms};

fn manifest(room: &Room) -> toml::Table {
    let text = std::fs::read_to_string(room.folder().join("Cargo.toml")).expect("manifest");
    text.parse().expect("manifest is TOML")
}

fn imports(room: &Room) -> Vec<String> {
    let table = manifest(room);
    let dependencies = table.get("dependencies").and_then(|d| d.as_table());
    dependencies.into_iter().flat_map(|d| d.keys().cloned()).collect()
}

#[test]
fn arrows_go_down_the_floors_and_along_the_listed_siblings_only() {
    let all = rooms();
    assert!(
        all.len() > 20,
        "the folders are not found: the test would hold for nothing"
    );
    for room in all.iter().filter(|r| r.floor != "dev") {
        for import in imports(room) {
            if let Some(ours) = import.strip_prefix("farhop-") {
                assert!(room.knows.contains(&ours), "{} must not know {ours}", room.name);
            }
        }
    }
}

/// Libraries that take minutes to build, or that touch the world, each with its room. The router and the channels of `axum` and `tokio`
/// lead to the pages; sockets and threads are features that only the server asks for.
const ROOMS_OF: [(&str, &[&str]); 7] = [
    ("krilla", &["paper"]),
    ("rusqlite", &["store"]),
    ("axum", &["pages", "pocket", "web"]),
    ("tokio", &["pages", "web"]),
    ("ureq", &["exchange"]),
    ("clap", &["farhop"]),
    ("geographiclib-rs", &["earth"]),
];

#[test]
fn a_heavy_library_is_known_to_its_room_only() {
    for (library, homes) in ROOMS_OF {
        let users: Vec<&str> = rooms()
            .iter()
            .filter(|r| imports(r).iter().any(|i| i == library))
            .map(|r| r.name)
            .collect();
        assert_eq!(users, homes, "{library}");
    }
}
