//! Lines that fit a terminal of 80 columns.

/// Columns of text output.
pub const COLUMNS: usize = 80;

/// A paragraph broken at spaces; the first line begins with `first`, the others with `rest`.
#[must_use]
pub fn paragraph(text: &str, first: &str, rest: &str) -> String {
    let mut out = String::from(first);
    let mut width = first.chars().count();
    let mut fresh = true;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if !fresh && width + 1 + length > COLUMNS {
            out.push('\n');
            out.push_str(rest);
            width = rest.chars().count();
            fresh = true;
        }
        if !fresh {
            out.push(' ');
            width += 1;
        }
        out.push_str(word);
        width += length;
        fresh = false;
    }
    out.push('\n');
    out
}

/// At most so many letters; what was cut ends in a sign that says so.
#[must_use]
pub fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{kept}…")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_the_terminal() {
        let text = "word ".repeat(100);
        let wrapped = paragraph(&text, "  - ", "    ");
        assert!(wrapped.lines().all(|l| l.chars().count() <= COLUMNS));
        assert!(wrapped.lines().count() > 6);
        assert_eq!(wrapped.split_whitespace().filter(|w| *w == "word").count(), 100);
    }

    #[test]
    fn what_is_cut_has_its_length_and_says_so() {
        assert_eq!(cut("Kea ridge", 9), "Kea ridge");
        assert_eq!(cut("Kea ridge", 5), "Kea …");
        assert_eq!(cut("größer", 4), "grö…");
    }
}
