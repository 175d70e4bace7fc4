//! A checked geographic place.

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

/// A point on the WGS-84 ellipsoid, north and east positive.
///
/// Longitude is kept in (-180, 180]; at a pole it is kept as given, and means nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
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
        let wrapped = 180.0 - (180.0 - lon_deg).rem_euclid(360.0);
        Ok(Self {
            lat_deg,
            lon_deg: wrapped,
        })
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
