//! Words, numbers and units of a short form.

/// Units that may stand apart from their number.
const UNITS: [&str; 16] = [
    "w", "watt", "watts", "b", "byte", "bytes", "min", "minutes", "mins", "db", "dbm", "hz", "khz", "mhz", "volts", "v",
];

/// The words of a text; a unit that stands apart is joined to the number before it (`6 min` becomes `6min`).
pub(crate) fn joined(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let unit = UNITS.contains(&word.to_lowercase().as_str());
        match words.last_mut().filter(|last| unit && number(last).is_some()) {
            Some(last) => last.push_str(word),
            None => words.push(word.to_owned()),
        }
    }
    words
}

/// A plain number; a single comma counts as the decimal point.
pub(crate) fn number(text: &str) -> Option<f64> {
    let plain = text.bytes().all(|b| b.is_ascii_digit() || b"+-.,".contains(&b));
    let digit = text.bytes().any(|b| b.is_ascii_digit());
    if !plain || !digit || text.len() > 16 {
        return None;
    }
    text.replacen(',', ".", 1).parse().ok().filter(|v: &f64| v.is_finite())
}

/// A number that ends in one of these units (small or capital letters).
pub(crate) fn with_unit(text: &str, units: &[&str]) -> Option<f64> {
    let lower = text.to_lowercase();
    let stripped = units.iter().filter_map(|unit| lower.strip_suffix(unit));
    stripped.filter_map(number).next()
}

/// A number with or without one of these units.
pub(crate) fn maybe_unit(text: &str, units: &[&str]) -> Option<f64> {
    number(text).or_else(|| with_unit(text, units))
}

/// A frequency in MHz: plain, or with its unit; from 1000 on it is taken as kHz.
pub(crate) fn mhz(text: &str) -> Option<f64> {
    if let Some(khz) = with_unit(text, &["khz"]) {
        return Some(khz / 1_000.0);
    }
    let value = maybe_unit(text, &["mhz"])?;
    Some(if value >= 1_000.0 { value / 1_000.0 } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_digits_only() {
        assert_eq!(number("3,59"), Some(3.59));
        assert_eq!(number("-105"), Some(-105.0));
        for bad in [
            "",
            "-",
            "nan",
            "inf",
            "1e3",
            "3.5.9",
            "1,000,000",
            "99999999999999999999",
        ] {
            assert_eq!(number(bad), None, "{bad}");
        }
    }

    #[test]
    fn units_may_stand_apart() {
        assert_eq!(joined("ok  300 b 6 MIN x"), ["ok", "300b", "6MIN", "x"]);
        assert_eq!(with_unit("6MIN", &["min"]), Some(6.0));
        assert_eq!(maybe_unit("12.4V", &["v"]), Some(12.4));
    }

    #[test]
    fn kilohertz_are_understood() {
        assert_eq!(mhz("3590"), Some(3.59));
        assert_eq!(mhz("3590kHz"), Some(3.59));
        assert_eq!(mhz("7.05MHz"), Some(7.05));
    }
}
