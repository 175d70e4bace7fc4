//! Errors below the edge are types, not texts; and nobody reads numbers back out of a text that was made for people.

use farhop_architecture::rooms;

#[test]
fn no_public_function_below_the_edge_fails_with_a_text() {
    let mut found = Vec::new();
    for room in rooms().iter().filter(|r| r.floor != "dev" && r.floor != "edge") {
        for (file, text) in room.shipped() {
            for line in text
                .lines()
                .filter(|l| l.contains("pub fn") || l.trim_start().starts_with(") -> "))
            {
                let result = line.split("Result<").nth(1);
                if result.is_some_and(|r| r.contains(", String>")) {
                    found.push(format!("{}: {}", file.display(), line.trim()));
                }
            }
        }
    }
    assert!(found.is_empty(), "{}\n{}", found.len(), found.join("\n"));
}

#[test]
fn what_is_shown_is_never_parsed() {
    for room in rooms().iter().filter(|r| r.floor == "show") {
        for (file, text) in room.shipped() {
            for line in text.lines().filter(|l| !l.trim_start().starts_with("//")) {
                let parses = line.contains(".parse()") || line.contains(".parse::<");
                assert!(!parses, "{}: {}", file.display(), line.trim());
            }
        }
    }
}
