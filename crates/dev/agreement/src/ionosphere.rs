//! The layers overhead against PyIRI and ppigrf: `validation/ionosphere/iono_points.csv`.

use std::collections::HashMap;
use std::path::Path;

use farhop_earth::{IgrfEpoch, Place, UtcTime, modip_deg};
use farhop_ionosphere::activity::r12_from_flux;
use farhop_ionosphere::storm::{StormInputs, published_storm_factor};
use farhop_ionosphere::{Activity, F2Map, Ionosphere, Layers, MapReading, SkyConditions};

use crate::{AgreementError, Row, Spread};

const FILE: &str = "validation/ionosphere/iono_points.csv";
const PYIRI: &str = "PyIRI 0.1.7";
/// The bar of the project on the numerical maps, per cent.
const MAP_BAR_PERCENT: f64 = 0.5;
/// The bar of the project on foF2 at a given flux, per cent.
const FLUX_BAR_PERCENT: f64 = 2.0;

/// One row of the vector file with what we make of it.
struct Point {
    value: HashMap<String, f64>,
    place: Place,
    time: UtcTime,
}

impl Point {
    /// A column; one that is missing counts as not a number, and so as an infinite error.
    fn get(&self, column: &str) -> f64 {
        self.value.get(column).copied().unwrap_or(f64::NAN)
    }

    fn reading(&self, map: F2Map, modip_deg: f64) -> MapReading {
        Ionosphere::embedded()
            .maps()
            .reading(map, self.place, modip_deg, self.time)
    }
}

fn points(root: &Path) -> Result<Vec<Point>, AgreementError> {
    let problem = |e: &dyn std::fmt::Display| AgreementError(format!("{FILE}: {e}"));
    let mut points = Vec::new();
    for row in farhop_vectors::read(&root.join(FILE)).map_err(|e| problem(&e))? {
        let number = |(name, text): (&str, &str)| Some((name.to_owned(), text.parse::<f64>().ok()?));
        let value: HashMap<String, f64> = row.cells().filter_map(number).collect();
        let get = |column: &str| value.get(column).copied().unwrap_or(f64::NAN);
        let place = Place::new(get("lat_deg"), get("lon_deg_E")).map_err(|e| problem(&e))?;
        let midnight = UtcTime::from_civil(get("year") as i16, get("month") as i8, get("day") as i8, 0, 0, 0);
        let time = midnight
            .map_err(|e| problem(&e))?
            .add_s((get("ut_h") * 3_600.0).round() as i64);
        points.push(Point { value, place, time });
    }
    Ok(points)
}

fn layers(p: &Point) -> Result<Layers, AgreementError> {
    let field = IgrfEpoch::at(p.time.decimal_year()).map_err(|e| AgreementError(e.to_string()))?;
    let activity = Activity::from_flux(p.get("F107")).map_err(|e| AgreementError(e.to_string()))?;
    Ok(Ionosphere::embedded().layers(&field, p.place, p.time, &SkyConditions::quiet(activity)))
}

fn percent(ours: f64, theirs: f64) -> f64 {
    (ours / theirs - 1.0).abs() * 100.0
}

fn row(what: &str, against: &str, values: Vec<f64>, unit: &'static str) -> Row {
    let spread = Spread::of(values);
    Row {
        area: "ionosphere",
        what: what.into(),
        against: against.into(),
        spread,
        unit,
        bar: "reported only".into(),
        met: None,
    }
}

fn map_row(what: &str, against: &str, errors_percent: Vec<f64>) -> Row {
    let plain = row(what, against, errors_percent, "%");
    let met = plain.spread.n > 0 && plain.spread.worst <= MAP_BAR_PERCENT;
    Row {
        bar: format!("worst <= {MAP_BAR_PERCENT} %"),
        met: Some(met),
        ..plain
    }
}

fn map_rows(points: &[Point]) -> Vec<Row> {
    let errors = |ours: &dyn Fn(&Point) -> f64, column: &str| -> Vec<f64> {
        points.iter().map(|p| percent(ours(p), p.get(column))).collect()
    };
    let fed = |map: F2Map| move |p: &Point| p.reading(map, p.get("modip_deg"));
    let f2 = |map: F2Map| move |p: &Point| fed(map)(p).fof2_at_mhz(p.get("IG12"));
    let m = |index: &'static str| move |p: &Point| fed(F2Map::Ccir)(p).m3000f2_at(p.get(index));
    vec![
        map_row(
            "foF2, CCIR map, relative error",
            PYIRI,
            errors(&f2(F2Map::Ccir), "foF2_ccir_MHz"),
        ),
        map_row(
            "foF2, URSI-88 map, relative error",
            PYIRI,
            errors(&f2(F2Map::Ursi), "foF2_ursi_MHz"),
        ),
        map_row(
            "M(3000)F2, linear in IG12, relative error",
            PYIRI,
            errors(&m("IG12"), "M3000F2_ccir"),
        ),
        map_row(
            "M(3000)F2, linear in R12, relative error",
            PYIRI,
            errors(&m("R12"), "M3000F2_interp_in_R12"),
        ),
    ]
}

fn true_field_rows(points: &[Point]) -> Result<Vec<Row>, AgreementError> {
    let (mut modip, mut f2, mut m) = (Vec::new(), Vec::new(), Vec::new());
    for p in points {
        let field = IgrfEpoch::at(p.time.decimal_year()).map_err(|e| AgreementError(e.to_string()))?;
        let ours_deg = modip_deg(field.field(p.place, 300.0).dip_deg(), p.place.lat_deg());
        modip.push((ours_deg - p.get("modip_true_deg")).abs());
        let reading = p.reading(F2Map::Ccir, ours_deg);
        f2.push(percent(
            reading.fof2_at_mhz(p.get("IG12")),
            p.get("foF2_ccir_truemodip"),
        ));
        m.push(percent(reading.m3000f2_at(p.get("IG12")), p.get("M3000_truemodip")));
    }
    let judge = "PyIRI 0.1.7 maps on the field of ppigrf 2.1.0";
    Ok(vec![
        row("modified dip, error", "ppigrf 2.1.0", modip, "deg"),
        map_row("foF2, CCIR map and our own field, relative error", judge, f2),
        map_row("M(3000)F2 and our own field, relative error", judge, m),
    ])
}

fn layer_rows(points: &[Point]) -> Result<Vec<Row>, AgreementError> {
    let (mut day, mut low_sun, mut height_km, mut es_mhz, mut r12) = (vec![], vec![], vec![], vec![], vec![]);
    for p in points {
        let ours = layers(p)?;
        let foe = percent(ours.foe_mhz, p.get("foE_MHz"));
        if p.get("sza_exact_day") < 80.0 {
            day.push(foe)
        } else {
            low_sun.push(foe)
        }
        height_km.push((ours.hmf2_km - p.get("hmF2_km")).abs());
        let es = p.reading(F2Map::Ccir, p.get("modip_deg")).foes_at_mhz(p.get("R12"));
        for (ours_mhz, column) in
            es.into_iter()
                .zip(["foEs_lowerdec_MHz", "foEs_median_jan_headerK_MHz", "foEs_upperdec_MHz"])
        {
            es_mhz.push((ours_mhz - p.get(column)).abs());
        }
        r12.push((r12_from_flux(p.get("F107")) - p.get("R12")).abs());
    }
    let plain = row(
        "foE, sun zenith below 80°, relative error",
        "PyIRI 0.1.7 (another closed form)",
        day,
        "%",
    );
    let met = plain.spread.n > 0 && plain.spread.p50 <= 5.0 && plain.spread.worst <= 12.0;
    let day_row = Row {
        bar: "median <= 5 %, worst <= 12 %".into(),
        met: Some(met),
        ..plain
    };
    Ok(vec![
        day_row,
        row(
            "foE, low sun and night, relative error",
            "PyIRI 0.1.7 (another closed form, floor 0.7 MHz)",
            low_sun,
            "%",
        ),
        row("foEs median and deciles, error", PYIRI, es_mhz, "MHz"),
        row("hmF2, difference", "PyIRI 0.1.7 (another closed form)", height_km, "km"),
        row("R12 from flux, difference", PYIRI, r12, "R12"),
    ])
}

/// foF2 by flux, the storm factor and IG12: `fof2_by_flux.csv`, `storm_points.csv`, `ig12.csv` beside the points.
fn condition_rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/ionosphere");
    let table = |name: &str| {
        let problem = |e: farhop_vectors::VectorError| AgreementError(format!("{name}: {e}"));
        farhop_vectors::read(&folder.join(name)).map_err(problem)
    };
    let (mut observed, mut own, mut storm, mut index) = (vec![], vec![], vec![], vec![]);
    for row in table("fof2_by_flux.csv")? {
        let get = |column: &str| row.number(column).unwrap_or(f64::NAN);
        let place = Place::new(get("lat_deg"), get("lon_deg_E")).map_err(|e| AgreementError(e.to_string()))?;
        let time = UtcTime::from_civil(get("year") as i16, get("month") as i8, 15, get("ut_h") as i8, 0, 0);
        let time = time.map_err(|e| AgreementError(e.to_string()))?;
        let field = IgrfEpoch::at(time.decimal_year()).map_err(|e| AgreementError(e.to_string()))?;
        let modip = modip_deg(field.field(place, 300.0).dip_deg(), place.lat_deg());
        let reading = Ionosphere::embedded().maps().reading(F2Map::Ccir, place, modip, time);
        let ours = reading.fof2_at_mhz(ig12(get("flux_sfu"))?);
        observed.push(percent(ours, get("fof2_observed_index_MHz")));
        own.push(percent(ours, get("fof2_pyiri_index_MHz")));
    }
    for row in table("storm_points.csv")? {
        let get = |column: &str| row.number(column).unwrap_or(f64::NAN);
        let inputs = StormInputs {
            ap_history: get("ap_history"),
            geomagnetic_lat_deg: get("lat_deg"),
            day_of_year: get("day_of_year") as u16,
        };
        storm.push(percent(published_storm_factor(&inputs), get("factor")));
    }
    for row in table("ig12.csv")? {
        let get = |column: &str| row.number(column).unwrap_or(f64::NAN);
        index.push((ig12(get("flux12_sfu"))? - get("ig12")).abs());
    }
    let by_flux = row(
        "foF2 at flux 80, 130 and 190, relative error",
        "PyIRI 0.1.7 maps on the observed IG12",
        observed,
        "%",
    );
    let met = by_flux.spread.n > 0 && by_flux.spread.worst <= FLUX_BAR_PERCENT;
    Ok(vec![
        Row {
            bar: format!("worst <= {FLUX_BAR_PERCENT} %"),
            met: Some(met),
            ..by_flux
        },
        row(
            "foF2 at flux 80, 130 and 190, difference",
            "PyIRI 0.1.7 with the IG12 it makes of the flux",
            own,
            "%",
        ),
        row(
            "IG12 from the 12-month flux, error",
            "record of 1958 to 2023 (iricore 1.9.0), on which it was fitted",
            index,
            "IG12",
        ),
        row(
            "storm factor on foF2 as published, relative error",
            "the model's own code (iricore 1.9.0)",
            storm,
            "%",
        ),
    ])
}

fn ig12(flux_sfu: f64) -> Result<f64, AgreementError> {
    let activity = Activity::from_flux(flux_sfu).map_err(|e| AgreementError(e.to_string()))?;
    Ok(activity.ig12())
}

/// The rows of this area.
///
/// # Errors
/// The vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let points = points(root)?;
    let mut rows = map_rows(&points);
    rows.extend(true_field_rows(&points)?);
    rows.extend(layer_rows(&points)?);
    rows.extend(condition_rows(root)?);
    Ok(rows)
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_bar_is_met() {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..");
        let rows = super::rows(&root).unwrap();
        for row in &rows {
            println!("{}: {:?} {} {:?}", row.what, row.spread, row.unit, row.met);
        }
        assert!(rows.iter().all(|row| row.met != Some(false)));
    }
}
