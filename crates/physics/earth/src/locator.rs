//! Grid locators (the Maidenhead system, IARU Region 1 VHF managers, 1980; extended pairs as in common practice).
//!
//! Pairs of characters, longitude first: a field of 20 x 10 degrees (A to R), a square of 2 x 1 degrees (0 to 9), a
//! subsquare of 5 x 2.5 minutes (a to x), then tenths (0 to 9) and twenty-fourths (a to x) again.

use crate::place::Place;

/// Why a text is not a grid locator.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LocatorError {
    /// A locator has 2, 4, 6, 8 or 10 characters.
    #[error("a grid locator has 2, 4, 6, 8 or 10 characters, not {0}")]
    Length(usize),
    /// A character outside its alphabet.
    #[error("character {position} of a grid locator must be {allowed}, not `{found}`")]
    Character {
        /// Position from 1.
        position: usize,
        /// What stands there.
        found: char,
        /// What may stand there.
        allowed: &'static str,
    },
}

/// Number of divisions, first character and wording of each pair.
const PAIRS: [(u32, u8, &str); 5] = [
    (18, b'A', "a letter A to R"),
    (10, b'0', "a digit"),
    (24, b'a', "a letter A to X"),
    (10, b'0', "a digit"),
    (24, b'a', "a letter A to X"),
];
/// Cells around the Earth at five pairs: 18 x 10 x 24 x 10 x 24.
const CELLS: u32 = 1_036_800;

/// The centre of a locator of 2 to 10 characters; upper and lower case are the same.
///
/// # Errors
/// Another number of characters, or a character outside its alphabet.
///
/// # Example
/// ```
/// let place = farhop_earth::locator::parse("JN36")?;
/// assert_eq!((place.lat_deg(), place.lon_deg()), (46.5, 7.0));
/// # Ok::<(), farhop_earth::locator::LocatorError>(())
/// ```
pub fn parse(text: &str) -> Result<Place, LocatorError> {
    let characters: Vec<char> = text.chars().collect();
    if characters.is_empty() || characters.len() > 2 * PAIRS.len() || !characters.len().is_multiple_of(2) {
        return Err(LocatorError::Length(characters.len()));
    }
    let (mut lon, mut lat, mut cells) = (0_u32, 0_u32, 1_u32);
    for (index, (pair, (divisions, first, allowed))) in characters.chunks_exact(2).zip(PAIRS).enumerate() {
        let digit = |offset: usize, found: char| {
            digit_of(found, first, divisions).ok_or(LocatorError::Character {
                position: 2 * index + offset,
                found,
                allowed,
            })
        };
        lon = lon * divisions + digit(1, pair[0])?;
        lat = lat * divisions + digit(2, pair[1])?;
        cells *= divisions;
    }
    // Twice the centre in whole half cells keeps round values of degrees exact.
    let centre = |cell: u32, half_range_deg: f64| f64::from(2 * cell + 1) * half_range_deg / f64::from(cells);
    Ok(Place::of_finite(centre(lat, 90.0) - 90.0, centre(lon, 180.0) - 180.0))
}

fn digit_of(found: char, first: u8, divisions: u32) -> Option<u32> {
    let base = u32::from(first.to_ascii_uppercase());
    let digit = u32::from(found.to_ascii_uppercase()).checked_sub(base)?;
    (digit < divisions).then_some(digit)
}

/// The locator of a place with 1 to 5 pairs of characters (other values are brought into that range).
///
/// A place on the border of two squares belongs to the northern and eastern one; the north pole to the last row.
///
/// # Example
/// ```
/// use farhop_earth::{Place, locator};
/// let place = Place::new(-43.595, 170.142)?;
/// assert_eq!(locator::format(place, 3), "RE56bj");
/// # Ok::<(), farhop_earth::PlaceError>(())
/// ```
#[must_use]
pub fn format(place: Place, pairs: usize) -> String {
    let pairs = pairs.clamp(1, PAIRS.len());
    // Whole cells per degree keep round values of degrees exact.
    let cell = |degrees: f64, per_degree: f64| ((degrees * per_degree).floor() as u32).min(CELLS - 1);
    let mut lon = cell((place.lon_deg() + 180.0).rem_euclid(360.0), f64::from(CELLS) / 360.0);
    let mut lat = cell(place.lat_deg() + 90.0, f64::from(CELLS) / 180.0);
    let mut size = CELLS;
    let mut text = String::with_capacity(2 * pairs);
    for (divisions, first, _) in PAIRS.into_iter().take(pairs) {
        size /= divisions;
        for value in [&mut lon, &mut lat] {
            text.push(char::from(first + (*value / size) as u8));
            *value %= size;
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn bad_locators_say_what_is_wrong() {
        assert_eq!(parse(""), Err(LocatorError::Length(0)));
        assert_eq!(parse("JN3"), Err(LocatorError::Length(3)));
        assert_eq!(parse("JN36aa00aa00"), Err(LocatorError::Length(12)));
        assert!(matches!(
            parse("SN36"),
            Err(LocatorError::Character {
                position: 1,
                found: 'S',
                ..
            })
        ));
        assert!(matches!(
            parse("JN3é"),
            Err(LocatorError::Character { position: 4, .. })
        ));
        assert!(matches!(
            parse("JN36ay"),
            Err(LocatorError::Character { position: 6, .. })
        ));
    }

    #[test]
    fn corners_of_the_earth() {
        assert_eq!(format(Place::new(90.0, 180.0).unwrap(), 2), "AR09");
        assert_eq!(format(Place::new(-90.0, -179.999).unwrap(), 2), "AA00");
        assert_eq!(format(Place::new(0.0, 0.0).unwrap(), 3), "JJ00aa");
        assert_eq!(format(Place::new(0.0, 0.0).unwrap(), 99).len(), 10);
    }

    proptest! {
        #[test]
        fn a_place_is_inside_its_locator(lat in -90.0..=90.0_f64, lon in -180.0..=180.0_f64, pairs in 1_usize..=5) {
            let place = Place::new(lat, lon).unwrap();
            let text = format(place, pairs);
            let centre = parse(&text).unwrap();
            let cells: u32 = PAIRS.iter().take(pairs).map(|pair| pair.0).product();
            let half_lat = 90.0 / f64::from(cells);
            let east = (centre.lon_deg() - place.lon_deg() + 540.0).rem_euclid(360.0) - 180.0;
            prop_assert!((centre.lat_deg() - lat).abs() <= half_lat * 1.000_001);
            prop_assert!(east.abs() <= 2.0 * half_lat * 1.000_001);
            prop_assert_eq!(format(centre, pairs), text);
        }

        #[test]
        fn no_text_panics(text in ".{0,12}") {
            let _ = parse(&text);
        }
    }
}
