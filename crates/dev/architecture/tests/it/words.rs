//! Words that nobody is to read: the table of `docs/words.md` against every text of the program and every page.

#![allow(clippy::unwrap_used, reason = "helpers of a test may fail loudly")]

use std::path::Path;

use farhop_architecture::{files_below, rooms, root};

/// Where a word must not stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Scope {
    Everywhere,
    Program,
}

/// Rooms whose texts are written anew elsewhere: one that is clean must leave this list.
const EXCUSED: [(&str, &str); 0] = [];
/// Floors whose texts people read.
const FLOORS: [&str; 5] = ["physics", "outing", "decide", "show", "edge"];

/// The table: words and where they must not stand.
fn banned() -> Vec<(String, Scope)> {
    let text = std::fs::read_to_string(root().join("docs/words.md")).unwrap();
    let (_, table) = text.split_once("| never | where | write |").unwrap();
    let rows = table.lines().skip(2).take_while(|l| l.starts_with('|'));
    rows.map(|row| {
        let cells: Vec<&str> = row.split('|').map(str::trim).collect();
        let scope = match cells[2] {
            "everywhere" => Scope::Everywhere,
            "what the program says" => Scope::Program,
            other => panic!("{other}: where is that?"),
        };
        (cells[1].trim_matches('`').to_lowercase(), scope)
    })
    .collect()
}

/// Whether a text has the words, as words of their own. `N` in them is any number, and "about even" is no "even".
fn has(text: &str, words: &str) -> bool {
    let text = text.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
    let text = text.replace("about even", "about-even");
    let (number, words) = match words.strip_prefix("n %") {
        Some(rest) => (true, format!("%{rest}")),
        None => (false, words.to_owned()),
    };
    let inside = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-' || c == '_');
    text.match_indices(&words).any(|(at, found)| {
        let before = text[..at].trim_end();
        let whole = !inside(text[at + found.len()..].chars().next());
        if number {
            whole && before.ends_with(|c: char| c.is_ascii_digit() || c == '}')
        } else {
            whole && !inside(text[..at].chars().next_back())
        }
    })
}

/// The texts between quotes in a source, raw ones too; what is said behind `//` is left out.
fn literals(source: &str) -> Vec<String> {
    let signs: Vec<char> = source.chars().collect();
    let at = |i: usize| signs.get(i).copied().unwrap_or('\0');
    let mut found = Vec::new();
    let mut i = 0;
    while i < signs.len() {
        match at(i) {
            '/' if at(i + 1) == '/' => {
                while i < signs.len() && at(i) != '\n' {
                    i += 1;
                }
            }
            '\'' if at(i + 1) == '\\' => {
                i += 3;
                while i < signs.len() && at(i) != '\'' {
                    i += 1;
                }
                i += 1;
            }
            '\'' if at(i + 2) == '\'' => i += 3,
            'r' if matches!(at(i + 1), '"' | '#') && !(i > 0 && at(i - 1).is_alphanumeric()) => {
                let hashes = signs[i + 1..].iter().take_while(|c| **c == '#').count();
                i += 1 + hashes;
                if at(i) != '"' {
                    continue;
                }
                let close: String = std::iter::once('"').chain(std::iter::repeat_n('#', hashes)).collect();
                let rest: String = signs[i + 1..].iter().collect();
                let text = rest.split(&close).next().unwrap_or_default().to_owned();
                i += 1 + text.chars().count() + close.chars().count();
                found.push(text);
            }
            '"' => {
                let mut text = String::new();
                i += 1;
                while i < signs.len() && at(i) != '"' {
                    if at(i) == '\\' {
                        // An escaped sign is none that a word has; a line that goes on is a space.
                        text.push(' ');
                        i += 1;
                    } else {
                        text.push(at(i));
                    }
                    i += 1;
                }
                found.push(text);
                i += 1;
            }
            _ => i += 1,
        }
    }
    found
}

/// What is said of an argument becomes its help.
fn help_lines(file: &Path, source: &str) -> Vec<String> {
    let is_args = file.to_string_lossy().ends_with("args.rs");
    let lines = source.lines().filter_map(|l| l.trim().strip_prefix("///"));
    lines.filter(|_| is_args).map(str::to_owned).collect()
}

/// Every banned word of a room, with its file.
fn flaws_of(floor: &str, name: &str) -> Vec<String> {
    let banned = banned();
    let rooms = rooms();
    let room = rooms.iter().find(|r| r.floor == floor && r.name == name).unwrap();
    let mut flaws = Vec::new();
    for (file, source) in room.shipped() {
        for text in literals(&source).into_iter().chain(help_lines(&file, &source)) {
            for (words, _) in banned.iter().filter(|(words, _)| has(&text, words)) {
                flaws.push(format!("{}: \"{words}\" in \"{text}\"", file.display()));
            }
        }
    }
    flaws
}

#[test]
fn no_text_of_the_program_has_a_banned_word() {
    let mut flaws = Vec::new();
    for room in rooms().iter().filter(|r| FLOORS.contains(&r.floor)) {
        let own = flaws_of(room.floor, room.name);
        if !EXCUSED.contains(&(room.floor, room.name)) {
            flaws.extend(own);
        } else if own.is_empty() {
            flaws.push(format!("{} is clean: take it out of EXCUSED", room.name));
        }
    }
    assert!(flaws.is_empty(), "{}", flaws.join("\n"));
}

#[test]
fn no_page_has_a_banned_word() {
    let everywhere: Vec<String> = banned()
        .into_iter()
        .filter(|b| b.1 == Scope::Everywhere)
        .map(|b| b.0)
        .collect();
    let mut pages = files_below(&root().join("docs"), "md");
    pages.extend(files_below(&root().join("docs"), "json"));
    pages.push(root().join("README.md"));
    assert!(pages.len() > 20, "the pages are there");
    let mut flaws = Vec::new();
    for page in pages {
        let text = std::fs::read_to_string(&page).unwrap();
        let text = text.split("## Words that people read").next().unwrap_or_default();
        let found = everywhere.iter().filter(|words| has(text, words));
        flaws.extend(found.map(|words| format!("{}: \"{words}\"", page.display())));
    }
    assert!(flaws.is_empty(), "{}", flaws.join("\n"));
}

#[test]
fn the_search_finds_what_it_is_to_find() {
    assert!(banned().len() >= 8);
    for (text, words, there) in [
        ("Rest, set off and dry", "set off", true),
        ("Rest,\n  Set   off", "set off", true),
        ("set offset", "set off", false),
        ("38 %, even", "n %, even", true),
        ("{dry} %, even", "n %, even", true),
        ("38 %, about even", "n %, even", false),
        ("38 %, about even", "even", false),
        ("not even so", "even", true),
        ("seven events, evenly", "even", false),
    ] {
        assert_eq!(has(text, words), there, "{words} in {text}");
    }
    let source = "let a = \"one \\\n   two\"; // \"three\"\nlet b = ('\"', '\\'', r#\"fo\"ur\"#, b\"five\"); fn f<'a>() {}\nlet c = \"six\";";
    let found: Vec<String> = literals(source)
        .iter()
        .map(|t| t.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect();
    assert_eq!(found, ["one two", "fo\"ur", "five", "six"]);
}
