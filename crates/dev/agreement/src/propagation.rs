//! Agreement of the sky path with an independent ray trace and with first-principles absorption.

use std::collections::HashMap;
use std::f64::consts::FRAC_PI_2;
use std::path::Path;

use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
use farhop_propagation::absorption::{Component, DRegion, Wave, closed_form_db, crossing_db};
use farhop_propagation::f2_layer::F2Layer;
use farhop_propagation::muf::{e_muf_factor, f2_muf_p533};
use farhop_propagation::profile::ProfileInput;
use farhop_propagation::sphere::mirror_elevation_rad;

use crate::{AgreementError, Row, Spread};

const AREA: &str = "propagation";
const RAYS: &str = "independent ray trace, 17 profiles";
const INTEGRALS: &str = "first-principles integrals";
/// The gyrofrequency along the ray with which the absorption table was made, MHz.
const TABLE_GYRO_MHZ: f64 = 1.2;

type Record = HashMap<String, String>;

/// The rows of the sky path.
///
/// # Errors
/// A vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/propagation");
    let mut rows = muf_rows(&folder)?;
    rows.extend(elevation_rows(&folder)?);
    rows.extend(absorption_rows(&folder)?);
    Ok(rows)
}

fn table(folder: &Path, name: &str) -> Result<Vec<Record>, AgreementError> {
    let rows = farhop_vectors::read(&folder.join(name)).map_err(crate::row::fail)?;
    let record = |row: &farhop_vectors::Row| row.cells().map(|(k, v)| (k.to_owned(), v.to_owned())).collect();
    Ok(rows.iter().map(record).collect())
}

/// A number; `None` where the field is empty.
fn optional(row: &Record, column: &str) -> Result<Option<f64>, AgreementError> {
    let text = row
        .get(column)
        .ok_or_else(|| AgreementError(format!("no column {column}")))?;
    if text.is_empty() {
        return Ok(None);
    }
    text.parse()
        .map(Some)
        .map_err(|_| AgreementError(format!("{column} = {text} is not a number")))
}

fn number(row: &Record, column: &str) -> Result<f64, AgreementError> {
    optional(row, column)?.ok_or_else(|| AgreementError(format!("{column} is empty")))
}

fn row(what: String, against: &str, spread: Spread, unit: &'static str, bar: &str, met: Option<bool>) -> Row {
    Row {
        area: AREA,
        what,
        against: against.to_owned(),
        spread,
        unit,
        bar: bar.to_owned(),
        met,
    }
}

struct Case {
    layer: F2Layer,
    input: ProfileInput,
}

fn cases(folder: &Path) -> Result<HashMap<String, Case>, AgreementError> {
    let mut cases = HashMap::new();
    for record in table(folder, "muf_cases.csv")? {
        let get = |column| number(&record, column);
        let input = ProfileInput {
            fof2_mhz: get("fof2_mhz")?,
            m3000f2: get("m3000f2")?,
            foe_mhz: get("foe_mhz")?,
            hmf2_km: get("hmf2_km")?,
            sun_zenith_deg: get("sun_zenith_deg")?,
        };
        let name = record.get("case").cloned().unwrap_or_default();
        cases.insert(
            name,
            Case {
                layer: F2Layer::new(&input),
                input,
            },
        );
    }
    Ok(cases)
}

fn case_of<'a>(cases: &'a HashMap<String, Case>, record: &Record) -> Result<&'a Case, AgreementError> {
    let name = record.get("case").map(String::as_str).unwrap_or_default();
    cases
        .get(name)
        .ok_or_else(|| AgreementError(format!("no case {name} in muf_cases.csv")))
}

fn muf_rows(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let cases = cases(folder)?;
    let mut ours: HashMap<u32, Vec<f64>> = HashMap::new();
    let (mut within, mut by_p533, mut e_ratios) = (Vec::new(), Vec::new(), Vec::new());
    let mut seen = std::collections::HashSet::new();
    for record in table(folder, "muf_raytrace.csv")? {
        let hop_km = number(&record, "hop_km")?;
        let key = (record.get("case").cloned(), hop_km as u32);
        if !seen.insert(key) {
            continue; // the MUF is repeated for each frequency
        }
        let case = case_of(&cases, &record)?;
        let input = &case.input;
        if let (Some(judge), Some(0.0)) = (
            optional(&record, "muf_f_mhz")?,
            optional(&record, "muf_f_pedersen_only")?,
        ) {
            let ratio = case.layer.muf_ordinary_mhz(hop_km) / judge;
            ours.entry(hop_km as u32).or_default().push(ratio);
            if hop_km <= 2_000.0 {
                within.push(ratio);
                let p533 = f2_muf_p533(hop_km, input.fof2_mhz, input.m3000f2, input.foe_mhz);
                by_p533.push(p533.ordinary_mhz / judge);
            }
        }
        if let (Some(judge), true) = (optional(&record, "muf_e_mhz")?, hop_km <= 2_000.0) {
            e_ratios.push(e_muf_factor(hop_km) * input.foe_mhz / judge);
        }
    }
    let bar = "median 0.95 to 1.05, 10 to 90 % within 0.85 to 1.15";
    let holds = |s: &Spread| (0.95..=1.05).contains(&s.p50) && s.p10 >= 0.85 && s.p90 <= 1.15;
    let mut rows = Vec::new();
    let spread = Spread::of(within);
    let met = holds(&spread);
    rows.push(row(
        "ordinary F2 MUF, one hop, 50 to 2 000 km".into(),
        RAYS,
        spread,
        "ratio",
        bar,
        Some(met),
    ));
    let mut distances: Vec<_> = ours.into_iter().collect();
    distances.sort_by_key(|(hop_km, _)| *hop_km);
    for (hop_km, ratios) in distances {
        let spread = Spread::of(ratios);
        let met = (hop_km <= 2_000).then(|| holds(&spread));
        let bar = if met.is_some() { bar } else { "reported" };
        rows.push(row(
            format!("ordinary F2 MUF at {hop_km} km"),
            RAYS,
            spread,
            "ratio",
            bar,
            met,
        ));
    }
    let p533 = Spread::of(by_p533);
    rows.push(row(
        "the formula of P.533 for the same, for comparison".into(),
        RAYS,
        p533,
        "ratio",
        "reported",
        None,
    ));
    rows.push(row(
        "E MUF, 50 to 2 000 km".into(),
        RAYS,
        Spread::of(e_ratios),
        "ratio",
        "reported",
        None,
    ));
    Ok(rows)
}

fn elevation_rows(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let cases = cases(folder)?;
    let (mut errors, mut e_errors, mut paths) = (Vec::new(), Vec::new(), Vec::new());
    for record in table(folder, "muf_raytrace.csv")? {
        let (hop_km, freq_mhz) = (number(&record, "hop_km")?, number(&record, "freq_mhz")?);
        if let (Some("E"), Some(judge)) = (
            record.get("low_practical_layer").map(String::as_str),
            optional(&record, "low_practical_elevation_deg")?,
        ) {
            e_errors.push((mirror_elevation_rad(hop_km, 110.0).to_degrees() - judge).abs());
        }
        let Some(judge_deg) = optional(&record, "low_f_elevation_deg")? else {
            continue;
        };
        if number(&record, "practical_f_rays")? == 0.0 {
            continue;
        }
        let judge_km = number(&record, "low_f_group_path_km")?;
        let low = case_of(&cases, &record)?.layer.low_ray(freq_mhz, hop_km);
        errors.push(low.map_or(f64::INFINITY, |l| (l.ray.elevation_rad.to_degrees() - judge_deg).abs()));
        paths.extend(low.map(|l| l.ray.group_path_km / judge_km));
    }
    let spread = Spread::of(errors);
    let met = spread.p50 < 2.0 && spread.p90 < 5.0;
    let bar = "median < 2 deg, 90 % < 5 deg; a ray not found counts as infinite";
    Ok(vec![
        row(
            "elevation of the low F ray, one hop".into(),
            RAYS,
            spread,
            "deg",
            bar,
            Some(met),
        ),
        row(
            "group path of the low F ray".into(),
            RAYS,
            Spread::of(paths),
            "ratio",
            "reported",
            None,
        ),
        row(
            "elevation of the low E ray (mirror at 110 km)".into(),
            RAYS,
            Spread::of(e_errors),
            "deg",
            "reported",
            None,
        ),
    ])
}

/// One comparison of absorption: where it belongs, ours and the handbook's over the judge.
struct Absorbed {
    sun_zenith_deg: f64,
    freq_mhz: f64,
    ours: f64,
    closed: f64,
}

fn absorbed(folder: &Path) -> Result<Vec<Absorbed>, AgreementError> {
    let fail = |e: &dyn std::fmt::Display| AgreementError(e.to_string());
    let field = IgrfEpoch::at(2020.5).map_err(|e| fail(&e))?;
    let mut out = Vec::new();
    for record in table(folder, "absorption_fp.csv")? {
        let get = |column| number(&record, column);
        let (freq_mhz, foe_mhz, fof2_mhz) = (get("freq_mhz")?, get("foe_mhz")?, get("fof2_mhz")?);
        let Some(judge_db) = optional(&record, "to_reflection_o_db")? else {
            continue;
        };
        if freq_mhz <= 1.15 * foe_mhz || freq_mhz >= 0.85 * fof2_mhz {
            continue;
        }
        let day = UtcTime::from_civil(2020, get("month")? as i8, 15, 0, 0, 0).map_err(|e| fail(&e))?;
        let place = Place::new(get("lat_deg")?, 0.0).map_err(|e| fail(&e))?;
        let activity = Activity::from_flux(get("flux_sfu")?).map_err(|e| fail(&e))?;
        let time = day.add_s((get("ut_h")? * 3_600.0) as i64);
        let layers = Ionosphere::embedded().layers(&field, place, time, &SkyConditions::quiet(activity));
        let (sun_zenith_deg, r12) = (get("sun_zenith_deg")?, get("r12")?);
        let (m3000f2, hmf2_km) = (layers.m3000f2, layers.hmf2_km);
        let f2 = F2Layer::new(&ProfileInput {
            fof2_mhz,
            m3000f2,
            foe_mhz,
            hmf2_km,
            sun_zenith_deg,
        });
        let upper_db = f2
            .low_ray(freq_mhz, 0.0)
            .map_or(f64::INFINITY, |low| low.ray.upper_loss_db);
        let sun_declination_deg = layers.sun_declination_deg;
        let index = DRegion {
            sun_zenith_deg,
            r12,
            lat_deg: place.lat_deg(),
            sun_declination_deg,
        }
        .index();
        let wave = Wave {
            freq_mhz,
            longitudinal_gyro_mhz: TABLE_GYRO_MHZ,
            component: Component::Ordinary,
        };
        let ours_db = 2.0 * index * crossing_db(&wave, FRAC_PI_2, foe_mhz) + upper_db;
        let closed_db = closed_form_db(sun_zenith_deg, r12, freq_mhz, TABLE_GYRO_MHZ);
        out.push(Absorbed {
            sun_zenith_deg,
            freq_mhz,
            ours: ours_db / judge_db,
            closed: closed_db / judge_db,
        });
    }
    Ok(out)
}

fn absorption_rows(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let all = absorbed(folder)?;
    let pick = |zenith: std::ops::Range<f64>, freq: std::ops::Range<f64>| {
        let chosen = all
            .iter()
            .filter(|a| zenith.contains(&a.sun_zenith_deg) && freq.contains(&a.freq_mhz));
        chosen
            .map(|a| (a.ours, a.closed))
            .unzip::<f64, f64, Vec<f64>, Vec<f64>>()
    };
    let mut rows = Vec::new();
    let day_bar = "median 0.75 to 1.35";
    for freq_mhz in [3.6, 5.35, 7.1, 10.1] {
        let spread = Spread::of(pick(0.0..75.0, freq_mhz - 0.1..freq_mhz + 0.1).0);
        let met = (0.75..=1.35).contains(&spread.p50);
        let what = format!("absorption at {freq_mhz} MHz, zenith < 75 deg");
        rows.push(row(what, INTEGRALS, spread, "ratio", day_bar, Some(met)));
    }
    let (ours, closed) = pick(0.0..75.0, 3.5..10.2);
    let spread = Spread::of(ours);
    let met = (0.75..=1.35).contains(&spread.p50);
    rows.push(row(
        "absorption 3.5 to 10.2 MHz, zenith < 75 deg".into(),
        INTEGRALS,
        spread,
        "ratio",
        day_bar,
        Some(met),
    ));
    let spread = Spread::of(closed);
    rows.push(row(
        "handbook closed form for the same".into(),
        INTEGRALS,
        spread,
        "ratio",
        "reported",
        None,
    ));
    let (ours, closed) = pick(89.0..180.0, 3.5..15.0);
    let spread = Spread::of(ours);
    let met = (0.5..=2.0).contains(&spread.p50) && spread.p10 >= 0.5 && spread.p90 <= 2.0;
    let bar = "10 to 90 % within a factor of 2";
    rows.push(row(
        "absorption at night, zenith >= 90 deg".into(),
        INTEGRALS,
        spread,
        "ratio",
        bar,
        Some(met),
    ));
    let spread = Spread::of(closed);
    rows.push(row(
        "handbook closed form at night".into(),
        INTEGRALS,
        spread,
        "ratio",
        "reported",
        None,
    ));
    let spread = Spread::of(pick(75.0..89.0, 3.5..15.0).0);
    rows.push(row(
        "absorption, zenith 75 to 85 deg".into(),
        INTEGRALS,
        spread,
        "ratio",
        "reported",
        None,
    ));
    let spread = Spread::of(pick(0.0..75.0, 14.0..14.2).0);
    rows.push(row(
        "absorption at 14.1 MHz, zenith < 75 deg".into(),
        INTEGRALS,
        spread,
        "ratio",
        "reported",
        None,
    ));
    Ok(rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_of_the_issue() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..");
        for row in rows(&root).unwrap() {
            let s = &row.spread;
            println!(
                "{:50} n {:4} {:.3} {:.3} {:.3} worst {:.3} {} {:?}",
                row.what, s.n, s.p10, s.p50, s.p90, s.worst, row.unit, row.met
            );
            assert_ne!(row.met, Some(false), "{row:?}");
        }
    }
}
