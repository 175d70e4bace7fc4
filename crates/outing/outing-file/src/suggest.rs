//! "Did you mean".

/// The nearest of the known words, when it is near enough to be a slip of the finger.
pub(crate) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let fold = |s: &str| s.to_lowercase().replace(['-', ' '], "_");
    let wanted = fold(word);
    let scored = known.into_iter().map(|k| (similarity(&wanted, &fold(k)), k));
    let best = scored.max_by(|a, b| a.0.total_cmp(&b.0))?;
    (best.0 >= 0.7).then_some(best.1)
}

/// From 0 to 1: swapped, missing and wrong letters count; a known word that holds the typed one whole counts as near.
fn similarity(a: &str, b: &str) -> f64 {
    let letters = strsim::normalized_damerau_levenshtein(a, b);
    let inside = a.len() >= 3 && (b.split('_').any(|w| w == a) || b.starts_with(&format!("{a}_")));
    if inside { letters.max(0.75) } else { letters }
}

/// A hint for a wrong word among known ones.
pub(crate) fn hint(word: &str, known: &[&str]) -> String {
    match nearest(word, known.iter().copied()) {
        Some(near) => format!("Did you mean \"{near}\"?"),
        None if known.is_empty() => String::new(),
        None => format!("Known here: {}.", known.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_recognised_and_strangers_are_not() {
        let known = ["apex_height_m", "end_height_m", "power_w", "noise"];
        assert_eq!(nearest("apex_heigth_m", known), Some("apex_height_m"));
        assert_eq!(nearest("power", known), Some("power_w"));
        assert_eq!(nearest("nosie", known), Some("noise"));
        assert_eq!(nearest("colour", known), None);
        assert_eq!(nearest("", known), None);
    }
}
