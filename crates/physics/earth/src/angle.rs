//! Angles as people write them: `-43.59`, `43°35.4'S`, `S 43 35 24`.

/// The two angles of a text without a comma, latitude first; none where it cannot be two angles.
pub(crate) fn two_angles(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let mut plain = text
        .split(|c: char| c.is_whitespace() || c == ';')
        .filter(|p| !p.is_empty());
    if let (Some(lat), Some(lon), None) = (plain.next(), plain.next(), plain.next())
        && [lat, lon].iter().all(|part| signed(part).parse::<f64>().is_ok())
    {
        return Some((lat, lon));
    }
    let letter = |wanted: [char; 2]| text.find(|c: char| wanted.contains(&c.to_ascii_uppercase()));
    let (lat, lon) = (letter(['N', 'S'])?, letter(['E', 'W'])?);
    // A letter stands behind its numbers or in front of them; a grid locator has two letters in front.
    let at = match text.chars().next()? {
        c if c.is_ascii_digit() && lat < lon => lat + 1,
        _ if lat == 0 && lon > 1 => lon,
        _ => return None,
    };
    let (first, second) = (text.get(..at)?, text.get(at..)?);
    let is_angle = |part: &str| {
        let letters = part.chars().filter(|c| c.is_alphabetic() && *c != '\u{ba}').count();
        letters == 1 && part.contains(|c: char| c.is_ascii_digit())
    };
    (is_angle(first) && is_angle(second)).then_some((first, second))
}

/// A number with the sign of the keyboard in place of the printer's minus.
fn signed(text: &str) -> String {
    text.replace('\u{2212}', "-")
}

/// Degrees of an angle; `letters` are those of its positive and its negative side.
pub(crate) fn degrees(text: &str, letters: [char; 2]) -> Option<f64> {
    let text = signed(text.trim()).to_uppercase();
    let bare = text.trim_start_matches(letters).trim_end_matches(letters);
    let side = match text.len() - bare.len() {
        0 => None,
        1 => text.chars().find(|c| letters.contains(c)),
        _ => return None,
    };
    let parts: Vec<&str> = bare
        .split(|c: char| c.is_whitespace() || "°\u{ba}'\u{2019}\u{2032}\"\u{201d}\u{2033}:".contains(c))
        .filter(|part| !part.is_empty())
        .collect();
    let (degrees, finer) = parts.split_first()?;
    let whole = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
    // Only the last of them may have decimals, and only degrees a sign.
    let shape_is_sound = finer.len() <= 2
        && (finer.is_empty() || whole(degrees.trim_start_matches(['-', '+'])))
        && (finer.len() < 2 || whole(finer.first()?))
        && finer.iter().all(|part| part.starts_with(|c: char| c.is_ascii_digit()));
    if !shape_is_sound || (side.is_some() && degrees.starts_with(['-', '+'])) {
        return None;
    }
    let mut value_deg = degrees.parse::<f64>().ok()?.abs();
    let mut unit_deg = 1.0;
    for part in finer {
        unit_deg /= 60.0;
        let number = part.parse::<f64>().ok().filter(|n| *n < 60.0)?;
        value_deg += number * unit_deg;
    }
    let negative = degrees.starts_with('-') || side == Some(letters[1]);
    Some(if negative { -value_deg } else { value_deg })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::parse_place;

    const NORTH: [char; 2] = ['N', 'S'];

    #[test]
    fn the_ways_to_write_an_angle() {
        // By definition a degree has 60 minutes and a minute 60 seconds (ISO 6709, Annex D, writes them so).
        for (text, wanted) in [
            ("-43.59", -43.59),
            ("+43.59", 43.59),
            ("43.59S", -43.59),
            ("N 43.59", 43.59),
            ("43°35.4'S", -43.59),
            ("43° 35\u{2032} 24\u{2033} s", -43.59),
            ("43 35 24", 43.59),
            ("-43:35.4", -43.59),
            ("-0 30", -0.5),
        ] {
            let found = degrees(text, NORTH).unwrap_or(f64::NAN);
            assert!((found - wanted).abs() < 1e-12, "{text}: {found}");
        }
    }

    #[test]
    fn what_is_no_angle_is_refused() {
        for text in [
            "",
            "N",
            "43°60'",
            "43.5°10'",
            "43 10.5 20",
            "43 -10",
            "-43S",
            "43N S",
            "1 2 3 4",
            "NaN",
            "inf",
            "43E",
        ] {
            assert!(degrees(text, NORTH).is_none_or(|d| !d.is_finite()), "{text}");
        }
    }

    #[test]
    fn places_with_minutes_are_read_and_locators_stay_locators() {
        for text in [
            "43°35.4'S 170°8.4'E",
            "43 35 24 S 170 8 24 E",
            "S43 35.4 E170 8.4",
            "43°35.4'S, 170°8.4'E",
            "-43°35.4', 170°8.4'",
            "43.59S 170.14E",
            "-43.59 170.14",
            "-43.59; 170.14",
            "\u{2212}43.59, 170.14",
        ] {
            let place = parse_place(text).unwrap();
            let near = (place.lat_deg() + 43.59).abs() < 1e-9 && (place.lon_deg() - 170.14).abs() < 1e-9;
            assert!(near, "{text}: {place}");
        }
        for text in ["RE56", "NE12ew", "NE12", "JN39", "ne12we34", "NA12ew34"] {
            assert!(parse_place(text).is_ok(), "{text}");
            assert!(two_angles(text).is_none(), "{text}");
        }
        assert!(parse_place("170°8.4'E 43°35.4'S").is_err(), "longitude first");
    }

    proptest! {
        #[test]
        fn degrees_minutes_and_seconds_come_back(d in 0u32..90, m in 0u32..60, s in 0u32..60, south: bool) {
            let text = format!("{d}°{m}'{s}\"{}", if south { 'S' } else { 'N' });
            let wanted = f64::from(d * 3600 + m * 60 + s) / 3600.0 * if south { -1.0 } else { 1.0 };
            prop_assert!((degrees(&text, NORTH).unwrap() - wanted).abs() < 1e-12);
        }

        #[test]
        fn noise_never_panics(text in "\\PC{0,40}") {
            let _ = two_angles(&text);
            let _ = degrees(&text, NORTH);
        }
    }
}
