//! Names that may stand in a bundle: what stays inside a folder on every system.

/// Longest name, bytes.
const LONGEST_NAME: usize = 180;
/// Most folders on the way to a file.
const DEEPEST: usize = 4;
/// Names that one system or another takes for a device, with any ending.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];

/// A name that is refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the name \"{shown}\" {why}")]
pub struct NameError {
    /// The name without signs that a terminal would act upon.
    pub shown: String,
    /// What is wrong with it.
    pub why: &'static str,
}

/// Whether a name stays inside a folder: relative, with `/`, without `..`, without signs and words that some system gives a meaning.
///
/// # Errors
/// What is wrong with it.
pub fn check_name(name: &str) -> Result<(), NameError> {
    match flaw(name) {
        None => Ok(()),
        Some(why) => Err(NameError {
            shown: name.chars().filter(|c| !c.is_control()).take(80).collect(),
            why,
        }),
    }
}

fn flaw(name: &str) -> Option<&'static str> {
    if name.is_empty() {
        return Some("is empty");
    }
    if name.len() > LONGEST_NAME {
        return Some("is too long");
    }
    if name.starts_with('/') || name.contains('\\') {
        return Some("is not relative, or uses \\");
    }
    let parts: Vec<&str> = name.split('/').collect();
    if parts.len() > DEEPEST + 1 {
        return Some("lies too deep");
    }
    parts.into_iter().find_map(part_flaw)
}

fn part_flaw(part: &str) -> Option<&'static str> {
    if part.is_empty() {
        return Some("has an empty part");
    }
    if part.starts_with('.') {
        return Some("begins with a point, leads out of the folder, or is hidden");
    }
    if part.ends_with(['.', ' ']) || part.starts_with(' ') {
        return Some("begins or ends with a space, or ends with a point");
    }
    let plain = |c: char| c.is_alphanumeric() || ['.', '-', '_', ' ', '+', '(', ')', ',', '\''].contains(&c);
    if !part.chars().all(plain) {
        return Some("has a sign that some system gives a meaning");
    }
    let stem = part.split('.').next().unwrap_or_default().trim().to_lowercase();
    let numbered = stem.len() == 4 && (stem.starts_with("com") || stem.starts_with("lpt"));
    if DEVICES.contains(&stem.as_str()) || numbered {
        return Some("is the name of a device on some system");
    }
    None
}

#[cfg(test)]
mod tests {
    use std::path::{Component, Path};

    use proptest::prelude::*;

    use super::*;

    #[test]
    fn plain_names_pass_and_others_do_not() {
        for good in [
            "outing.toml",
            "lists/stations 2026.csv",
            "a/b/c/d/e.txt",
            "Größe-1.csv",
            "console.txt",
            "hut's (old).csv",
        ] {
            assert_eq!(check_name(good), Ok(()), "{good}");
        }
        for bad in [
            "",
            "/etc/passwd",
            "../a",
            "a/../../b",
            "a/./b",
            "a//b",
            "a/",
            "..",
            ".hidden",
            "C:\\a",
            "c:a",
            "a\\b",
            "a\0b",
            "a\nb",
            "nul",
            "NUL.txt",
            "x/Com1.csv",
            "a.",
            "a ",
            " a",
            "a/b/c/d/e/f",
            "~/a",
            "a*b",
            &"x".repeat(181),
        ] {
            assert!(check_name(bad).is_err(), "{bad:?}");
        }
    }

    proptest! {
        #[test]
        fn what_passes_stays_inside(parts in proptest::collection::vec("[a-z./\\\\: \\PC]{0,6}|\\.\\.|/|con", 1..6)) {
            let name = parts.join("/");
            if check_name(&name).is_ok() {
                let path = Path::new(&name);
                prop_assert!(path.is_relative());
                prop_assert!(path.components().all(|c| matches!(c, Component::Normal(_))), "{}", name);
                prop_assert!(!name.contains(['\\', ':']));
            }
        }
    }
}
