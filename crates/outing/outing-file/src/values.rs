//! Single values: numbers (metric or imperial), texts, words from a list, names, places.

use farhop_earth::{Place, parse_place, units};
use farhop_outing::{Callsign, Id};
use toml::de::DeValue;

use crate::fields::{Fields, Value};
use crate::session::Session;
use crate::suggest;

/// From the unit of an imperial key to that of its metric twin.
type ToMetric = fn(f64) -> f64;

/// Ending of a metric key, ending of its imperial twin, conversion to metric.
const TWINS: [(&str, &str, ToMetric); 5] = [
    ("_km", "_mi", units::km_from_mi),
    ("_kg", "_lb", units::kg_from_lb),
    ("_mm", "_in", |inches| units::m_from_in(inches) * 1000.0),
    ("_m", "_ft", units::m_from_ft),
    ("_c", "_f", units::c_from_f),
];

/// The imperial key that may stand in place of a metric one.
pub(crate) fn twin(key: &str) -> Option<(String, ToMetric)> {
    if key.contains("_per_") {
        return None;
    }
    let (stem, ending, convert) = TWINS
        .iter()
        .find_map(|&(metric, imperial, convert)| Some((key.strip_suffix(metric)?, imperial, convert)))?;
    Some((format!("{stem}{ending}"), convert))
}

/// A number as it stands in the file.
pub(crate) fn number_of(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(whole) => i64::from_str_radix(whole.as_str(), whole.radix())
            .ok()
            .map(|n| n as f64),
        DeValue::Float(real) => real.as_str().parse().ok(),
        _ => None,
    }
}

impl<'t> Fields<'t> {
    /// The value of a metric key or of its imperial twin, with the conversion to metric.
    pub(crate) fn either(&mut self, s: &mut Session, key: &str) -> Option<(&'t Value<'t>, ToMetric)> {
        let metric = self.get(s, key);
        let Some((other, convert)) = twin(key) else {
            return metric.map(|v| (v, same as ToMetric));
        };
        let in_top = self.table().contains_key(other.as_str());
        if !in_top && (metric.is_some() || !self.has(&other)) {
            return metric.map(|v| (v, same as ToMetric));
        }
        let imperial = self.get(s, &other)?;
        if metric.is_some() && self.table().contains_key(key) {
            let (spot, path) = (self.spot_of(imperial), self.path_of(&other));
            s.error(
                spot,
                &path,
                format!("both `{key}` and `{other}` are given"),
                "Keep one of the two.",
            );
        }
        s.mark(self.path_of(key), self.spot_of(imperial));
        Some((imperial, convert))
    }

    /// A number that may be missing. A value of the wrong kind is reported and gives NaN, which no check lets through.
    pub(crate) fn number(&mut self, s: &mut Session, key: &str) -> Option<f64> {
        let (value, convert) = self.either(s, key)?;
        match number_of(value.get_ref()) {
            Some(number) => Some(convert(number)),
            None => {
                self.wrong_kind(s, key, value, "a number without quotes");
                Some(f64::NAN)
            }
        }
    }

    /// A number that must be there; NaN when it is not.
    pub(crate) fn need_number(&mut self, s: &mut Session, key: &str, hint: &str) -> f64 {
        self.number(s, key).unwrap_or_else(|| {
            self.missing(s, key, hint);
            f64::NAN
        })
    }

    /// A number with a stated default.
    pub(crate) fn number_or(&mut self, s: &mut Session, key: &str, default: f64, why: &str) -> f64 {
        self.number(s, key).unwrap_or_else(|| {
            self.default(s, key, default, why);
            default
        })
    }

    /// A whole number that may be missing.
    pub(crate) fn count(&mut self, s: &mut Session, key: &str) -> Option<u64> {
        let value = self.get(s, key)?;
        let whole = match value.get_ref() {
            DeValue::Integer(n) => u64::from_str_radix(n.as_str().trim_start_matches('+'), n.radix()).ok(),
            _ => None,
        };
        if whole.is_none() {
            self.wrong_kind(s, key, value, "a whole number, not negative");
        }
        whole
    }

    /// A whole number with a stated default.
    pub(crate) fn count_or(&mut self, s: &mut Session, key: &str, default: u32, why: &str) -> u32 {
        if !self.has(key) {
            self.known(key);
            self.default(s, key, default, why);
            return default;
        }
        self.count(s, key)
            .map_or(default, |n| u32::try_from(n).unwrap_or(u32::MAX))
    }

    /// A text that may be missing.
    pub(crate) fn text(&mut self, s: &mut Session, key: &str) -> Option<String> {
        let value = self.get(s, key)?;
        match value.get_ref() {
            DeValue::String(text) => Some(text.to_string()),
            _ => {
                self.wrong_kind(s, key, value, "a text in quotes");
                None
            }
        }
    }

    /// Free words of a person; empty when missing.
    pub(crate) fn notes(&mut self, s: &mut Session, key: &str) -> String {
        self.text(s, key).unwrap_or_default()
    }

    /// Yes or no.
    pub(crate) fn truth(&mut self, s: &mut Session, key: &str) -> Option<bool> {
        let value = self.get(s, key)?;
        match value.get_ref() {
            DeValue::Boolean(truth) => Some(*truth),
            _ => {
                self.wrong_kind(s, key, value, "true or false");
                None
            }
        }
    }

    /// One of a list of words.
    pub(crate) fn word<T: Copy>(&mut self, s: &mut Session, key: &str, words: &[(&'static str, T)]) -> Option<T> {
        let value = self.get(s, key)?;
        let known: Vec<&str> = words.iter().map(|w| w.0).collect();
        let DeValue::String(text) = value.get_ref() else {
            self.wrong_kind(s, key, value, &format!("one of: {}", known.join(", ")));
            return None;
        };
        let wanted = text.trim().to_lowercase().replace(['_', ' '], "-");
        let found = words.iter().find(|w| w.0 == wanted);
        if found.is_none() {
            let (spot, path) = (self.spot_of(value), self.path_of(key));
            s.error(
                spot,
                &path,
                format!("`{key}` is \"{text}\""),
                suggest::hint(text, &known),
            );
        }
        found.map(|w| w.1)
    }

    /// One of a list of words, with a stated default.
    pub(crate) fn word_or<T: Copy>(
        &mut self,
        s: &mut Session,
        key: &str,
        words: &[(&'static str, T)],
        default: (&'static str, T),
        why: &str,
    ) -> T {
        if !self.has(key) {
            self.known(key);
            self.default(s, key, format!("\"{}\"", default.0), why);
        }
        self.word(s, key, words).unwrap_or(default.1)
    }

    /// An id that may be missing.
    pub(crate) fn id(&mut self, s: &mut Session, key: &str) -> Option<Id> {
        let text = self.text(s, key)?;
        let found = Id::new(&text);
        if let (Err(error), Some(value)) = (&found, self.get(s, key)) {
            let (spot, path) = (self.spot_of(value), self.path_of(key));
            s.error(spot, &path, error.to_string(), "For example: ridge, hut-2, wire_a.");
        }
        found.ok()
    }

    /// An id that must be there. A placeholder stands in after a report, so that the rest can still be read.
    pub(crate) fn need_id(&mut self, s: &mut Session, number: usize) -> Option<Id> {
        let there = self.has("id");
        let id = self.id(s, "id");
        if !there {
            self.missing(s, "id", "Give it a short name, for example id = \"ridge\".");
        }
        let id = id.unwrap_or_else(|| self.nameless(number));
        self.label(id.as_str());
        Some(id)
    }

    /// A name for the n-th table of a list where the file gives none.
    pub(crate) fn nameless(&self, number: usize) -> Id {
        Id::new(&format!("nameless-{}-{number}", self.path().len())).unwrap_or_default()
    }

    /// A callsign that may be missing.
    pub(crate) fn callsign(&mut self, s: &mut Session, key: &str) -> Option<Callsign> {
        let text = self.text(s, key)?;
        let found = Callsign::new(&text);
        if let (Err(error), Some(value)) = (&found, self.get(s, key)) {
            let (spot, path) = (self.spot_of(value), self.path_of(key));
            s.error(
                spot,
                &path,
                error.to_string(),
                "Write it as it is sent, for example \"Q1ABC\".",
            );
        }
        found.ok()
    }

    /// A place that may be missing.
    pub(crate) fn place(&mut self, s: &mut Session, key: &str) -> Option<Place> {
        const WANTED: &str = "Write \"latitude,longitude\" in degrees, south and west negative, or a grid locator.";
        let value = self.get(s, key)?;
        let text = match value.get_ref() {
            DeValue::String(text) => text.to_string(),
            DeValue::Array(pair) if pair.len() == 2 => {
                let numbers: Vec<String> = pair
                    .iter()
                    .filter_map(|v| number_of(v.get_ref()))
                    .map(|n| n.to_string())
                    .collect();
                numbers.join(",")
            }
            _ => {
                self.wrong_kind(s, key, value, "a text such as \"-43.59,170.14\" or \"RE56bj\"");
                return None;
            }
        };
        let place = parse_place(&text);
        if let Err(error) = &place {
            s.error(self.spot_of(value), &self.path_of(key), error.to_string(), WANTED);
        }
        place.ok()
    }
}

fn same(value: f64) -> f64 {
    value
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metric_keys_have_imperial_twins() {
        assert_eq!(twin("height_m").unwrap().0, "height_ft");
        assert_eq!(twin("mass_kg").unwrap().0, "mass_lb");
        assert_eq!(twin("wire_diameter_mm").unwrap().0, "wire_diameter_in");
        assert_eq!(twin("temperature_c").unwrap().0, "temperature_f");
        assert_eq!(twin("horizon_distance_km").unwrap().0, "horizon_distance_mi");
        for key in [
            "sigma_s_per_m",
            "loss_10mhz_db_per_100m",
            "z0_ohm",
            "fuse_a",
            "capacity_ah",
        ] {
            assert!(twin(key).is_none(), "{key}");
        }
        assert!((twin("wire_diameter_mm").unwrap().1(1.0) - 25.4).abs() < 1e-12);
    }
}
