//! A checked geographic place.

use crate::angle;
use crate::locator::{self, LocatorError};

/// Why a pair of numbers is not a place.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PlaceError {
    /// Latitude is not a finite number from -90 to 90.
    #[error("latitude {0} is not between -90 and 90 degrees")]
    Latitude(f64),
    /// Longitude is not a finite number from -360 to 360.
    #[error("longitude {0} is not between -180 and 180 degrees")]
    Longitude(f64),
}

/// Why a text is not a place.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ParsePlaceError {
    /// The text was read as latitude and longitude, but one of the two is not an angle.
    #[error("`{0}` is not a number of degrees; write latitude,longitude such as -43.59,170.14 or 43°35.4'S 170°8.4'E")]
    Number(String),
    /// Two numbers, but not a place.
    #[error(transparent)]
    Place(#[from] PlaceError),
    /// No comma, so it was read as a grid locator, and is not one.
    #[error("{0}; or write latitude,longitude such as -43.59,170.14")]
    Locator(#[from] LocatorError),
}

/// A point on the WGS-84 ellipsoid, north and east positive.
///
/// Longitude is kept in (-180, 180]; at a pole it is kept as given, and means nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Place {
    lat_deg: f64,
    lon_deg: f64,
}

impl Place {
    /// A place from latitude and longitude in degrees.
    ///
    /// # Errors
    /// Values that are not finite, latitude beyond the poles, longitude beyond a full turn.
    pub fn new(lat_deg: f64, lon_deg: f64) -> Result<Self, PlaceError> {
        if !(-90.0..=90.0).contains(&lat_deg) {
            return Err(PlaceError::Latitude(lat_deg));
        }
        if !(-360.0..=360.0).contains(&lon_deg) {
            return Err(PlaceError::Longitude(lon_deg));
        }
        Ok(Self::of_finite(lat_deg, lon_deg))
    }

    /// A place from finite numbers that geometry produced: latitude is clamped (rounding), longitude wrapped.
    pub(crate) fn of_finite(lat_deg: f64, lon_deg: f64) -> Self {
        debug_assert!(lat_deg.is_finite() && lon_deg.is_finite());
        let wrapped = 180.0 - (180.0 - lon_deg).rem_euclid(360.0);
        Self {
            lat_deg: lat_deg.clamp(-90.0, 90.0),
            // rem_euclid can round up to exactly 360, which would leave the half-open range.
            lon_deg: if wrapped <= -180.0 { 180.0 } else { wrapped },
        }
    }

    /// Latitude in degrees, north positive.
    #[must_use]
    pub fn lat_deg(self) -> f64 {
        self.lat_deg
    }

    /// Longitude in degrees, east positive, in (-180, 180].
    #[must_use]
    pub fn lon_deg(self) -> f64 {
        self.lon_deg
    }
}

/// Latitude and longitude with four decimals (about 10 m), in the form that [`parse_place`] reads.
impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:.4},{:.4}", self.lat_deg, self.lon_deg)
    }
}

/// A place from `latitude,longitude` in degrees, from degrees with minutes and seconds and the letters N, S, E, W, or from a grid
/// locator of 2 to 10 characters (its centre).
///
/// # Errors
/// Neither form; the error says which form was tried and what is wrong with it.
///
/// # Example
/// ```
/// use farhop_earth::parse_place;
/// let place = parse_place("-43.59, 170.14")?;
/// assert_eq!(place.lat_deg(), -43.59);
/// assert_eq!(parse_place("43°35'24\"S 170°8'24\"E")?, place);
/// assert!(parse_place("RE56").is_ok());
/// assert!(parse_place("91,0").is_err());
/// # Ok::<(), farhop_earth::ParsePlaceError>(())
/// ```
pub fn parse_place(text: &str) -> Result<Place, ParsePlaceError> {
    let Some((lat, lon)) = text.split_once(',').or_else(|| angle::two_angles(text)) else {
        return Ok(locator::parse(text.trim())?);
    };
    let number = |part: &str, letters| {
        angle::degrees(part, letters).ok_or_else(|| ParsePlaceError::Number(part.trim().to_owned()))
    };
    Ok(Place::new(number(lat, ['N', 'S'])?, number(lon, ['E', 'W'])?)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn longitude_is_wrapped_and_the_date_line_is_east() {
        assert_eq!(Place::new(0.0, -180.0).unwrap().lon_deg(), 180.0);
        assert_eq!(Place::new(0.0, 190.0).unwrap().lon_deg(), -170.0);
        assert_eq!(Place::new(0.0, -360.0).unwrap().lon_deg(), 0.0);
    }

    #[test]
    fn numbers_that_are_no_place_are_refused() {
        for (lat, lon) in [
            (90.1, 0.0),
            (f64::NAN, 0.0),
            (0.0, f64::NAN),
            (0.0, 361.0),
            (f64::INFINITY, 0.0),
        ] {
            assert!(Place::new(lat, lon).is_err(), "{lat},{lon}");
        }
    }

    #[test]
    fn a_text_is_refused_with_the_reason() {
        assert_eq!(parse_place("46,x"), Err(ParsePlaceError::Number("x".into())));
        assert_eq!(
            parse_place("95,0"),
            Err(ParsePlaceError::Place(PlaceError::Latitude(95.0)))
        );
        assert!(matches!(parse_place("ZZ99"), Err(ParsePlaceError::Locator(_))));
        assert!(parse_place("NaN,0").is_err());
    }

    proptest! {
        #[test]
        fn every_place_is_in_range_and_reads_back(lat in -90.0..=90.0_f64, lon in -360.0..=360.0_f64) {
            let place = Place::new(lat, lon).unwrap();
            prop_assert!(place.lon_deg() > -180.0 && place.lon_deg() <= 180.0);
            let back = parse_place(&place.to_string()).unwrap();
            prop_assert!((back.lat_deg() - lat).abs() <= 5.1e-5);
        }
    }
}
