//! A device that is in: what it may do, how it is called, when it was there last.

use farhop_pages::Role;

/// Longest name of a device, in letters.
const LONGEST_NAME: usize = 40;

/// A device that is in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Device {
    /// When it is out again, seconds since 1970.
    pub end_s: u64,
    /// What it may do.
    pub role: Role,
    /// When it asked for something last, seconds since 1970.
    pub seen_s: u64,
    /// Its name for people.
    pub name: String,
}

impl Device {
    /// As a line of the file, behind its hash.
    pub(crate) fn line(&self) -> String {
        format!("{} {} {} {}", self.end_s, self.role.word(), self.seen_s, self.name)
    }

    /// From such a line. A line with the end alone is from before there were roles: everybody could edit.
    pub(crate) fn from_line(line: &str) -> Option<Self> {
        let mut words = line.trim().splitn(4, ' ');
        let end_s = words.next()?.parse().ok()?;
        let Some(role) = words.next() else {
            return Some(Self {
                end_s,
                role: Role::Edit,
                seen_s: 0,
                name: "Device".to_owned(),
            });
        };
        Some(Self {
            end_s,
            role: Role::from_word(role)?,
            seen_s: words.next()?.parse().ok()?,
            name: clean_name(words.next().unwrap_or_default())?,
        })
    }
}

/// A name as it is kept: one line, no signs that steer a terminal, not too long; none where nothing is left.
pub(crate) fn clean_name(typed: &str) -> Option<String> {
    let plain: String = typed.chars().filter(|c| !c.is_control()).take(LONGEST_NAME).collect();
    let plain = plain.trim();
    (!plain.is_empty()).then(|| plain.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_device_comes_back_from_its_line_and_a_broken_one_does_not() {
        let device = Device {
            end_s: 9_000,
            role: Role::Log,
            seen_s: 40,
            name: "Blue phone 2".to_owned(),
        };
        assert_eq!(Device::from_line(&device.line()), Some(device));
        assert_eq!(Device::from_line("5").map(|d| d.role), Some(Role::Edit));
        for broken in ["", "x", "5 own 3 A", "5 log", "5 log x A", "5 log 3", "5 log 3  "] {
            assert_eq!(Device::from_line(broken), None, "{broken}");
        }
        assert_eq!(clean_name(" a\n\u{1b}[31mb\u{85} "), Some("a[31mb".to_owned()));
        assert_eq!(
            clean_name(&"ä".repeat(99)).map(|n| n.chars().count()),
            Some(LONGEST_NAME)
        );
    }
}
