//! `[[site]]`.

use farhop_earth::{Ground, GroundClass};

use super::reader::TableReader;
use super::row::{About, Shape};
use super::values::Value;
use super::{ID_HINT, ID_MEANS};
use crate::check::Check;
use crate::limits;
use crate::site::{HorizonPoint, Site};
use farhop_gear::NoiseClass;

pub(super) const GROUND: Ground = Ground::Class(GroundClass::Average);
pub(super) const GROUND_WHY: &str = "pasture and woods, when nothing is said";
pub(super) const PLACE_HINT: &str =
    "Write \"latitude,longitude\" in degrees, south and west negative, or a grid locator.";

rows! { Site, "site", Forecast;
    id (_, around) = around.nameless.clone() => .must(ID_HINT).names().means(ID_MEANS);
    name (site) = site.id.to_string() => .means("for people").left_out("the id").form("Name");
    place => .must(PLACE_HINT).means("position").form("Place");
    elevation_m = 0.0 => .within(limits::SITE_HEIGHT_M).means("height above the sea").form("Height, m")
        .why("sea level; write the height of the site");
    ground = GROUND => .means("under the antenna").why(GROUND_WHY);
    noise = NoiseClass::QuietRural => .means("man-made noise around").form("Noise")
        .why("candidate sites are taken as far from houses");
    horizon in horizon.points => .left_out("flat").why("no skyline is given")
        .means("skyline as `[[bearing, height angle], …]`, clockwise, each bearing once; straight lines between");
    horizon_distance_km in horizon.distance_km = 2.0 => .within(limits::HORIZON_KM)
        .means("distance to the ridge that makes it").when(|site| !site.horizon.points.is_empty())
        .why("the skyline is taken as a ridge two kilometres away");
    walk_in_h = 0.0 => .within(limits::WALK_H).means("hours from the road").why("no walk is given").form("Walk in, h");
    from => .means("you are there from then").left_out("the start");
    until => .date_ends().means("you are there until then").left_out("the end");
    temperature_c = 10.0 => .within(limits::TEMPERATURE_C).means("air by day").form("Temperature, °C")
        .why("a mild day; write what you expect");
    night_temperature_c (site) = site.temperature_c - 8.0 => .within(limits::TEMPERATURE_C).means("air by night")
        .left_out("8 °C below the day").why("a clear night (common practice)");
    antenna in antennas => .means("antennas that hang differently here, see below").left_out("as in the kit");
    without => .means("ids of antennas that cannot be used here").left_out("none");
    fallback = false => .means("`true`: only when the others fail");
    notes => .means("free words");
}

impl Value for Vec<HorizonPoint> {
    fn shape() -> Shape {
        Shape::Pairs
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        let pairs = from.pairs(
            about.key,
            "pairs of bearing and height angle in degrees: [[0, 5], [90, 12]]",
        )?;
        let point = |[bearing_deg, elevation_deg]: [f64; 2]| HorizonPoint {
            bearing_deg,
            elevation_deg,
        };
        Some(pairs.into_iter().map(point).collect())
    }

    fn check(&self, c: &mut Check, about: &About) {
        for (i, point) in self.iter().enumerate() {
            let key = format!("{}[{i}]", about.key);
            if !limits::BEARING_DEG.allows(point.bearing_deg) {
                let cause = format!("bearing of the horizon is {}", point.bearing_deg);
                c.error(&key, cause, format!("It must be {}.", limits::BEARING_DEG));
            }
            if !limits::HORIZON_DEG.allows(point.elevation_deg) {
                let cause = format!("height angle of the horizon is {}", point.elevation_deg);
                let hint = format!("It must be {}; first the bearing, then the angle.", limits::HORIZON_DEG);
                c.error(&key, cause, hint);
            }
            let before = i.checked_sub(1).and_then(|j| self.get(j));
            if before.is_some_and(|b| b.bearing_deg >= point.bearing_deg) {
                let cause = format!("bearing {} does not follow the one before it", point.bearing_deg);
                c.error(&key, cause, "Write the points clockwise from north, each bearing once.");
            }
        }
    }
}
