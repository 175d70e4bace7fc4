//! The Earth: places, distances, the sun, the magnetic field and the ground.
//!
//! Angles are degrees, north and east positive, bearings clockwise from true north. Two figures of the Earth are in
//! use and are kept apart: the WGS-84 ellipsoid for distances and bearings shown to people ([`geodesy::geodesic`]),
//! and a sphere of [`geodesy::EARTH_RADIUS_KM`] for ray geometry ([`geodesy::GreatCircle`]).
//!
//! ```
//! use farhop_earth::{Place, geodesic, parse_place};
//!
//! let here = parse_place("47.26,11.39")?;
//! let there = Place::new(48.2, 16.37).unwrap();
//! let way = geodesic(here, there);
//! // On a sphere of 6 371 km: 385 km, 73 degrees.
//! assert!((way.distance_km - 385.0).abs() < 3.0 && (way.bearing_deg - 73.0).abs() < 1.0);
//! # Ok::<(), farhop_earth::ParsePlaceError>(())
//! ```

mod angle;
pub mod clock;
pub mod geodesy;
pub mod ground;
pub mod locator;
pub mod magnetism;
pub mod place;
pub mod sun;
pub mod time;
pub mod units;

pub use geodesy::{EARTH_RADIUS_KM, Geodesic, GreatCircle, destination, geodesic};
pub use ground::{Ground, GroundClass, GroundConstants};
pub use magnetism::{EpochError, IgrfEpoch, MagneticField, modip_deg};
pub use place::{ParsePlaceError, Place, PlaceError, parse_place};
pub use sun::{SunEvents, SunOfInstant, SunPosition, sun_events, sun_position};
pub use time::{TimeError, UtcTime};
