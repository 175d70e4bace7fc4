//! No two enums with the same variants: two names for one fact drift apart.

use std::collections::BTreeMap;

use farhop_architecture::rooms;

/// Names of the variants of every enum of a text.
fn enums(text: &str) -> Vec<(String, Vec<String>)> {
    let mut found = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let Some(rest) = line.trim_start().split("enum ").nth(1).filter(|_| line.ends_with('{')) else {
            continue;
        };
        if line.trim_start().starts_with("//") {
            continue;
        }
        let name: String = rest.chars().take_while(|c| c.is_alphanumeric()).collect();
        let indent = line.len() - line.trim_start().len() + 4;
        let mut variants = Vec::new();
        for inner in lines.by_ref() {
            let depth = inner.len() - inner.trim_start().len();
            if inner.trim() == "}" && depth + 4 == indent {
                break;
            }
            if depth == indent && inner.trim_start().starts_with(char::is_uppercase) {
                let variant = inner.trim_start().chars().take_while(|c| c.is_alphanumeric());
                variants.push(variant.collect());
            }
        }
        variants.sort();
        found.push((name, variants));
    }
    found
}

#[test]
fn the_reader_of_enums_finds_variants() {
    let text = "pub enum Three {\n    /// One.\n    A,\n    B(u8),\n    C {\n        x: u8,\n    },\n}\n";
    assert_eq!(
        enums(text),
        [("Three".to_owned(), vec!["A".to_owned(), "B".to_owned(), "C".to_owned()])]
    );
}

#[test]
fn no_two_enums_have_the_same_variants() {
    let mut by_variants: BTreeMap<Vec<String>, Vec<String>> = BTreeMap::new();
    for room in rooms().iter().filter(|r| r.floor != "dev") {
        for (_, text) in room.shipped() {
            for (name, variants) in enums(&text).into_iter().filter(|(_, v)| v.len() > 2) {
                by_variants
                    .entry(variants)
                    .or_default()
                    .push(format!("{}::{name}", room.name));
            }
        }
    }
    assert!(
        by_variants.len() > 50,
        "enums are not found: the test would hold for nothing"
    );
    let twins: Vec<String> = by_variants
        .iter()
        .filter(|(_, names)| names.len() > 1)
        .map(|(variants, names)| format!("{} = {}", names.join(" = "), variants.join(", ")))
        .collect();
    assert!(twins.is_empty(), "{}", twins.join("\n"));
}
