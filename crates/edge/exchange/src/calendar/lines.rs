//! Content lines of RFC 5545.
//!
//! Written here because the calendar crate at hand puts DTSTAMP and UID into every component, time zones and their parts included,
//! where RFC 5545 §3.6.5 has no place for them. Its parser, and another one, judge what is written here.

/// Longest line in octets without its end (RFC 5545 §3.1).
const LINE_OCTETS: usize = 75;

/// A calendar as it grows.
#[derive(Default)]
pub(crate) struct Lines(String);

impl Lines {
    /// A property whose value is written as it is; `name` may carry parameters.
    pub(crate) fn raw(&mut self, name: &str, value: &str) {
        self.folded(&format!("{name}:{value}"));
    }

    /// A property whose value is text for people.
    pub(crate) fn text(&mut self, name: &str, value: &str) {
        self.raw(name, &escaped(value));
    }

    pub(crate) fn finish(self) -> String {
        self.0
    }

    /// RFC 5545 §3.1: a long line goes on in the next one behind a space, never inside a character.
    fn folded(&mut self, line: &str) {
        let mut octets = 0;
        for c in line.chars() {
            if octets + c.len_utf8() > LINE_OCTETS {
                self.0.push_str("\r\n ");
                octets = 1;
            }
            self.0.push(c);
            octets += c.len_utf8();
        }
        self.0.push_str("\r\n");
    }
}

/// RFC 5545 §3.3.11. Control signs have no place in a text and are left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn signs_with_a_meaning_are_escaped() {
        // The example of RFC 5545 §3.3.11.
        let text = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
        assert_eq!(
            escaped(text),
            r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
        );
        assert_eq!(escaped("a;b,c\\d\u{7}"), r"a\;b\,c\\d");
    }

    proptest! {
        #[test]
        fn lines_are_short_and_unfold_to_what_was_said(text in "\\PC{0,300}") {
            let mut lines = Lines::default();
            lines.raw("DESCRIPTION", &text);
            let written = lines.finish();
            for line in written.split("\r\n") {
                prop_assert!(line.len() <= LINE_OCTETS);
            }
            prop_assert_eq!(written.replace("\r\n ", ""), format!("DESCRIPTION:{text}\r\n"));
        }
    }
}
