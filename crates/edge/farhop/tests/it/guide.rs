//! The guide for newcomers: its commands work on the starter, and what it quotes from `check` is what `check` says.

use std::path::Path;
use std::process::Output;

use crate::common::run::{farhop_at_home as farhop_in, fresh_folder};

const GUIDE: &str = include_str!("../../../../../docs/guide/first-outing.md");

/// A line of the page as a user would type it.
fn run_line(folder: &Path, line: &str) -> Output {
    farhop_in(folder, &line.split(' ').skip(1).collect::<Vec<_>>())
}

/// The insides of the fenced blocks that begin with this fence.
fn blocks(fence: &str) -> Vec<&'static str> {
    let mut found = Vec::new();
    let mut rest = GUIDE;
    while let Some((_, after)) = rest.split_once("\n```") {
        let (block, later) = after.split_once("\n```\n").unwrap();
        let (opened, inside) = block.split_once('\n').unwrap();
        if opened == fence {
            found.push(inside);
        }
        rest = later;
    }
    found
}

#[test]
fn every_command_works_in_the_order_of_the_page() {
    let folder = fresh_folder("guide-commands");
    let commands: Vec<&str> = blocks("")
        .iter()
        .flat_map(|b| b.lines())
        .filter(|l| l.starts_with("farhop "))
        .collect();
    assert!(commands.len() >= 7, "{commands:?}");
    for line in commands {
        let output = run_line(&folder, line);
        assert!(
            output.status.success(),
            "{line}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        // What is written to a file is told on standard error.
        assert!(
            !(output.stdout.is_empty() && output.stderr.is_empty()),
            "{line} said nothing"
        );
    }
}

#[test]
fn what_it_quotes_from_check_is_what_check_says() {
    let folder = fresh_folder("guide-check");
    assert!(run_line(&folder, "farhop new my-outing").status.success());
    let file = folder.join("my-outing/outing.toml");
    let text = std::fs::read_to_string(&file).unwrap();
    let slips = text
        .replace("\npower_w = 5\n", "\npower_w = -5\n")
        .replace("\nnoise = \"quiet-rural\"", "\nnois = \"quiet-rural\"");
    std::fs::write(&file, slips).unwrap();
    let output = run_line(&folder, "farhop check my-outing/outing.toml");
    assert_eq!(output.status.code(), Some(1));
    let said = String::from_utf8(output.stdout).unwrap();
    let quoted = blocks("text");
    assert_eq!(quoted.len(), 1);
    assert!(said.contains(quoted[0]), "said:\n{said}\nquoted:\n{}", quoted[0]);
}
