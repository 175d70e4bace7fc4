//! `[[site]]`.

use farhop_earth::{Ground, GroundClass, GroundConstants};
use farhop_outing::{Horizon, HorizonPoint, NoiseClass, Site};
use toml::de::{DeTable, DeValue};

use crate::antenna;
use crate::fields::Fields;
use crate::session::Session;
use crate::time::DateMeans;

/// Reads one site; `kit_antennas` are the antennas of the kit as they stand in the file.
pub(crate) fn read(s: &mut Session, mut f: Fields<'_>, number: usize, kit_antennas: &[&DeTable<'_>]) -> Option<Site> {
    let id = f.need_id(s, number)?;
    let name = f.text(s, "name").unwrap_or_else(|| id.to_string());
    let place = f.need_place(s, "place")?;
    let elevation_m = f.number_or(s, "elevation_m", 0.0, "sea level; write the height of the site");
    let ground = ground(s, &mut f);
    let quiet = ("quiet-rural", NoiseClass::QuietRural);
    let noise = f.word_or(
        s,
        "noise",
        &NoiseClass::WORDS,
        quiet,
        "candidate sites are taken as far from houses",
    );
    let horizon = horizon(s, &mut f);
    let walk_in_h = f.number_or(s, "walk_in_h", 0.0, "no walk is given");
    let from = f.time(s, "from", DateMeans::Start);
    let until = f.time(s, "until", DateMeans::End);
    let temperature_c = f.number_or(s, "temperature_c", 10.0, "a mild day; write what you expect");
    let night_temperature_c = f.number(s, "night_temperature_c").unwrap_or_else(|| {
        f.default(
            s,
            "night_temperature_c",
            "8 °C below the day",
            "a clear night (common practice)",
        );
        temperature_c - 8.0
    });
    let antennas = f
        .tables(s, "antenna")
        .into_iter()
        .filter_map(|own| antenna::hung(s, own, kit_antennas))
        .collect();
    let without = f.ids(s, "without");
    let fallback = f.has("fallback") && f.truth_or(s, "fallback", false, "");
    f.known("fallback");
    let notes = f.notes(s, "notes");
    f.finish(s);
    Some(Site {
        id,
        name,
        place,
        elevation_m,
        ground,
        noise,
        horizon,
        walk_in_h,
        from,
        until,
        temperature_c,
        night_temperature_c,
        antennas,
        without,
        fallback,
        notes,
    })
}

/// A ground class or own constants.
pub(crate) fn ground(s: &mut Session, f: &mut Fields<'_>) -> Ground {
    let own = f
        .table()
        .get("ground")
        .is_some_and(|v| matches!(v.get_ref(), DeValue::Table(_)));
    if let Some(mut inner) = own.then(|| f.inner(s, "ground")).flatten() {
        let eps_r = inner.need_number(s, "eps_r", "Relative permittivity, for example 13.");
        let sigma_s_per_m = inner.need_number(s, "sigma_s_per_m", "Conductivity, for example 0.005.");
        inner.finish(s);
        return Ground::Own(GroundConstants { eps_r, sigma_s_per_m });
    }
    let usual = ("average", GroundClass::Average);
    Ground::Class(f.word_or(
        s,
        "ground",
        &GroundClass::WORDS,
        usual,
        "pasture and woods, when nothing is said",
    ))
}

fn horizon(s: &mut Session, f: &mut Fields<'_>) -> Horizon {
    let pairs = f.groups::<2>(
        s,
        "horizon",
        "pairs of bearing and height angle in degrees: [[0, 5], [90, 12]]",
    );
    if pairs.is_none() {
        f.default(s, "horizon", "flat", "no skyline is given");
    }
    let pairs = pairs.unwrap_or_default();
    let distance_km = if pairs.is_empty() {
        f.number(s, "horizon_distance_km").unwrap_or(2.0)
    } else {
        f.number_or(
            s,
            "horizon_distance_km",
            2.0,
            "the skyline is taken as a ridge two kilometres away",
        )
    };
    let points = pairs.into_iter().map(|[bearing_deg, elevation_deg]| HorizonPoint {
        bearing_deg,
        elevation_deg,
    });
    Horizon {
        points: points.collect(),
        distance_km,
    }
}
