//! Agreement of the energy crate with pvlib, with integrated differential equations, and with its own books.

use std::path::Path;

use farhop_earth::{Place, UtcTime, sun_position};
use farhop_energy::discharge::LinearSource;
use farhop_energy::solar::{
    Air, ClearSky, PlaneView, SunTrack, Transposition, absolute_airmass, cell_temperature_c, clear_sky, cos_incidence,
    extraterrestrial_w_m2, haurwitz_ghi_w_m2, ineichen, panel_power_w, split_global,
};

use crate::{AgreementError, Row, Spread};

const AREA: &str = "energy";
const PVLIB: &str = "pvlib 0.16.1";
/// Irradiance below which a relative error says nothing, W/m²: errors are taken over at least this.
const LEAST_W_M2: f64 = 10.0;

/// The rows of the energy crate.
///
/// # Errors
/// A vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/energy");
    let mut rows = sky_rows(&folder)?;
    rows.extend(plane_rows(&folder)?);
    rows.extend(panel_rows(&folder)?);
    rows.push(discharge_row(&folder)?);
    Ok(rows)
}

fn fail(error: impl std::fmt::Display) -> AgreementError {
    AgreementError(error.to_string())
}

/// A row of a vector file by column name.
struct Line<'a>(&'a csv::StringRecord, &'a csv::StringRecord);

impl Line<'_> {
    fn text(&self, name: &str) -> Result<&str, AgreementError> {
        let column = self
            .0
            .iter()
            .position(|h| h == name)
            .ok_or_else(|| fail(format!("no column `{name}`")))?;
        self.1
            .get(column)
            .ok_or_else(|| fail(format!("no `{name}` in {:?}", self.1)))
    }

    fn number(&self, name: &str) -> Result<f64, AgreementError> {
        let text = self.text(name)?;
        text.parse()
            .map_err(|_| fail(format!("`{text}` in `{name}` is not a number")))
    }
}

fn read<T>(
    folder: &Path,
    name: &str,
    each: impl Fn(&Line<'_>) -> Result<T, AgreementError>,
) -> Result<Vec<T>, AgreementError> {
    let path = folder.join(name);
    let wrong = |e: csv::Error| fail(format!("{}: {e}", path.display()));
    let mut reader = csv::Reader::from_path(&path).map_err(wrong)?;
    let header = reader.headers().map_err(wrong)?.clone();
    let mut out = Vec::new();
    for record in reader.records() {
        out.push(each(&Line(&header, &record.map_err(wrong)?))?);
    }
    Ok(out)
}

fn percent(found: f64, judge: f64) -> f64 {
    100.0 * (found - judge).abs() / judge.abs().max(LEAST_W_M2)
}

fn bar_row(what: &str, against: &str, errors: Vec<f64>, (unit, bar): (&'static str, f64)) -> Row {
    let spread = Spread::of(errors);
    Row {
        area: AREA,
        what: what.into(),
        against: against.into(),
        met: Some(spread.n > 0 && spread.worst <= bar),
        spread,
        unit,
        bar: format!("worst <= {bar} {unit}"),
    }
}

fn air(line: &Line<'_>) -> Result<Air, AgreementError> {
    Ok(Air {
        altitude_m: line.number("altitude_m")?,
        linke_turbidity: line.number("linke")?,
    })
}

fn sky_rows(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let errors = read(folder, "clear_sky.csv", |line| {
        let (zenith, day) = (line.number("apparent_zenith_deg")?, line.number("day_of_year")?);
        let outside = extraterrestrial_w_m2(day);
        let sky = ineichen(zenith, outside, air(line)?);
        let haurwitz = haurwitz_ghi_w_m2(zenith);
        let split = split_global(haurwitz, zenith, outside);
        let airmass = absolute_airmass(zenith, line.number("altitude_m")?).unwrap_or(f64::NAN);
        let judged_airmass = line.number("airmass_absolute")?;
        let beam = percent(sky.direct_normal_w_m2, line.number("ineichen_dni_w_m2")?);
        let diffuse = percent(sky.diffuse_w_m2, line.number("ineichen_dhi_w_m2")?);
        let split_beam = percent(split.direct_normal_w_m2, line.number("haurwitz_erbs_dni_w_m2")?);
        let split_diffuse = percent(split.diffuse_w_m2, line.number("haurwitz_erbs_dhi_w_m2")?);
        Ok([
            percent(sky.global_w_m2, line.number("ineichen_ghi_w_m2")?),
            beam.max(diffuse),
            percent(haurwitz, line.number("haurwitz_ghi_w_m2")?),
            split_beam.max(split_diffuse),
            100.0 * (airmass - judged_airmass).abs() / judged_airmass,
            percent(outside, line.number("extraterrestrial_w_m2")?),
        ])
    })?;
    let names = [
        "clear sky, Ineichen, global",
        "clear sky, Ineichen, direct and diffuse",
        "clear sky, Haurwitz, global",
        "split after Erbs, direct and diffuse",
        "absolute airmass",
        "irradiance outside the atmosphere",
    ];
    let column = |k: usize| errors.iter().filter_map(|e: &[f64; 6]| e.get(k)).copied().collect();
    Ok(names
        .iter()
        .enumerate()
        .map(|(k, name)| bar_row(name, PVLIB, column(k), ("%", 1.0)))
        .collect())
}

fn plane_rows(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let errors = read(folder, "plane.csv", |line| {
        let angles = (line.number("apparent_zenith_deg")?, line.number("azimuth_deg")?);
        let place = Place::new(line.number("lat_deg")?, line.number("lon_deg")?).map_err(fail)?;
        let time = UtcTime::parse(line.text("time_utc")?).map_err(fail)?;
        let own = SunTrack::from_place(place, time, 600.0)
            .at(0.0)
            .ok_or_else(|| fail("no sun"))?;
        let straight = sun_position(place, time);
        let turned = (straight.azimuth_deg - angles.1 + 540.0).rem_euclid(360.0) - 180.0;
        let (iso, hay) = (line.number("isotropic_w_m2")?, line.number("hay_davies_w_m2")?);
        Ok([
            percent(on_plane(line, angles, Transposition::Isotropic)?, iso),
            percent(on_plane(line, angles, Transposition::HayDavies)?, hay),
            percent(
                on_plane(line, (own.zenith_deg, own.azimuth_deg), Transposition::HayDavies)?,
                hay,
            ),
            (own.zenith_deg - angles.0).abs(),
            turned.abs(),
        ])
    })?;
    let column = |k: usize| -> Vec<f64> { errors.iter().filter_map(|e: &[f64; 5]| e.get(k)).copied().collect() };
    Ok(vec![
        bar_row("tilted plane, isotropic sky", PVLIB, column(0), ("%", 1.0)),
        bar_row("tilted plane, Hay and Davies", PVLIB, column(1), ("%", 1.0)),
        bar_row(
            "tilted plane, Hay and Davies, from place and time",
            PVLIB,
            column(2),
            ("%", 1.0),
        ),
        bar_row("sun's apparent zenith", "SPA in pvlib 0.16.1", column(3), ("deg", 0.01)),
        bar_row("sun's bearing", "SPA in pvlib 0.16.1", column(4), ("deg", 0.05)),
    ])
}

fn on_plane(line: &Line<'_>, sun_deg: (f64, f64), model: Transposition) -> Result<f64, AgreementError> {
    let day = line.number("day_of_year")?;
    let plane_deg = (line.number("tilt_deg")?, line.number("facing_deg")?);
    let view = PlaneView {
        zenith_deg: sun_deg.0,
        cos_incidence: cos_incidence(sun_deg, plane_deg).max(0.0),
        tilt_deg: plane_deg.0,
        extraterrestrial_w_m2: extraterrestrial_w_m2(day),
        sun_hidden: false,
        sky_share: 1.0,
        albedo: line.number("albedo")?,
    };
    Ok(view
        .on_plane(clear_sky(ClearSky::Ineichen, sun_deg.0, day, air(line)?), model)
        .total_w_m2())
}

fn panel_rows(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let errors = read(folder, "panel.csv", |line| {
        let plane_w_m2 = line.number("plane_w_m2")?;
        let cell_c = cell_temperature_c(plane_w_m2, line.number("air_c")?, line.number("noct_c")?);
        let gamma = line.number("temp_coefficient_per_k")?;
        let power_w = panel_power_w(line.number("watt_peak_w")?, plane_w_m2, cell_c, gamma);
        let judged_w = line.number("power_w")?;
        Ok((
            100.0 * (power_w - judged_w).abs() / judged_w.max(0.01),
            (cell_c - line.number("cell_c")?).abs(),
        ))
    })?;
    let (powers, cells) = errors.into_iter().unzip();
    Ok(vec![
        bar_row("panel power (PVWatts 5)", PVLIB, powers, ("%", 0.01)),
        bar_row("cell temperature (Ross)", PVLIB, cells, ("K", 0.001)),
    ])
}

fn discharge_row(folder: &Path) -> Result<Row, AgreementError> {
    let errors = read(folder, "discharge.csv", |line| {
        let source = LinearSource {
            start_v: line.number("start_v")?,
            fall_v_per_ah: line.number("fall_v_per_ah")?,
            resistance_ohm: line.number("resistance_ohm")?,
        };
        let hours = source
            .constant_power_h(line.number("power_w")?, line.number("end_emf_v")?)
            .unwrap_or(f64::NAN);
        let judged_h = line.number("time_h")?;
        Ok(100.0 * (hours - judged_h).abs() / judged_h)
    })?;
    Ok(bar_row(
        "constant-power discharge, time (closed form)",
        "differential equation, scipy 1.17.1",
        errors,
        ("%", 1e-4),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bar_is_met() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..");
        for row in rows(&root).unwrap() {
            assert_eq!(row.met, Some(true), "{row:?}");
        }
    }
}
