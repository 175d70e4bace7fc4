//! Agreement of the energy crate with pvlib, with integrated differential equations, and with its own books.

use std::path::Path;

use farhop_earth::{Place, UtcTime, sun_position};
use farhop_energy::discharge::LinearSource;
use farhop_energy::simulate::{Scenario, Source, Uncertainty, Warmth, simulate_one};
use farhop_energy::solar::{
    Air, ClearSky, Orientation, Panel, PlaneView, Sky, SunTrack, Transposition, absolute_airmass, cell_temperature_c,
    clear_sky, cos_incidence, extraterrestrial_w_m2, haurwitz_ghi_w_m2, ineichen, panel_power_w, split_global,
};
use farhop_energy::spread::Spread3;
use farhop_energy::{
    Battery, BatterySpec, BrownOut, Chemistry, Draw, EnergyInput, EnergyOuting, Load, LoadKind, LoadState,
};

use crate::row::fail;
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
    rows.push(simulated_discharge_row(&folder)?);
    rows.push(books_row()?);
    Ok(rows)
}

/// A row of a vector file by column name.
struct Line<'a>(&'a farhop_vectors::Row);

impl Line<'_> {
    fn text(&self, name: &str) -> Result<&str, AgreementError> {
        if self.0.has(name) {
            Ok(self.0.text(name))
        } else {
            Err(fail(format!("no column `{name}`")))
        }
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
    let rows = farhop_vectors::read(&folder.join(name)).map_err(fail)?;
    rows.iter().map(|row| each(&Line(row))).collect()
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

/// The simulation on a linear battery (all resistance in the cable, where charge and temperature do not change it), against the
/// closed form: the hours that the voltage reached takes, over the hours simulated, after a tenth of the discharge in steps of a
/// minute. Half a per cent leaves room for self-discharge (2.5 % a month), which the closed form does not know.
fn simulated_discharge_row(folder: &Path) -> Result<Row, AgreementError> {
    let errors = read(folder, "discharge.csv", |line| {
        let (start_v, fall_v_per_ah) = (line.number("start_v")?, line.number("fall_v_per_ah")?);
        let (resistance_ohm, power_w) = (line.number("resistance_ohm")?, line.number("power_w")?);
        let source = LinearSource {
            start_v,
            fall_v_per_ah,
            resistance_ohm,
        };
        // A tenth of the time to the end: the voltage stays above the end.
        let duration_s = (360.0 * line.number("time_h")?).max(120.0);
        let capacity_ah = 0.9 * start_v / fall_v_per_ah;
        let empty_v = start_v - fall_v_per_ah * capacity_ah;
        let battery = Battery::new(BatterySpec {
            open_circuit_v_per_cell: Some(vec![(0.0, empty_v), (1.0, start_v)]),
            resistance_mohm: Some(0.0),
            ..BatterySpec::usual(Chemistry::LithiumIon, 1, capacity_ah)
        });
        let load = lamp(Draw::Power(power_w), 1e3 * resistance_ohm);
        let input = dark_outing(battery.map_err(fail)?, load, duration_s);
        let outing = EnergyOuting::new(input).map_err(fail)?;
        let result = simulate_one(&outing, &Scenario::median(&outing));
        let share = result
            .sources
            .first()
            .and_then(|s| s.share.last())
            .copied()
            .unwrap_or(f64::NAN);
        let emf_v = empty_v + share * (start_v - empty_v);
        let hours = source.constant_power_h(power_w, emf_v).unwrap_or(f64::NAN);
        Ok(100.0 * (hours * 3600.0 / duration_s - 1.0).abs())
    })?;
    Ok(bar_row(
        "constant-power discharge, simulated",
        "closed form above",
        errors,
        ("%", 0.5),
    ))
}

/// Conservation over chemistries, temperatures and charges at the start: what the books are off by, over their turnover.
fn books_row() -> Result<Row, AgreementError> {
    let mut errors = Vec::new();
    for (chemistry, cells) in Chemistry::ALL.into_iter().zip([4, 3, 6, 10]) {
        for air_c in [-20.0, -5.0, 10.0, 30.0] {
            for start in [0.05, 0.4, 0.9] {
                let battery = Battery::new(BatterySpec::usual(chemistry, cells, 4.0)).map_err(fail)?;
                let mut input = dark_outing(battery, lamp(Draw::Current(0.6), 120.0), 2.0 * 86_400.0);
                input.step_s = 300.0;
                input.air_c = vec![(0.0, air_c), (86_400.0, air_c + 6.0)];
                input
                    .sources
                    .iter_mut()
                    .for_each(|s| s.start_share = Spread3::certain(start));
                input.panels = vec![Panel::usual(
                    "mat",
                    "main",
                    30.0,
                    Orientation::TurnedToSun { every_h: 3.0 },
                )];
                let place = Place::new(46.0, 8.0).map_err(fail)?;
                let time = UtcTime::parse("2026-06-21T00:00:00Z").map_err(fail)?;
                input.sun = SunTrack::from_place(place, time, input.duration_s);
                let outing = EnergyOuting::new(input).map_err(fail)?;
                for source in simulate_one(&outing, &Scenario::median(&outing)).sources {
                    let turnover_wh = source.books.stored_start_wh + source.books.sun_in_wh;
                    errors.push((source.books.imbalance_wh() / turnover_wh).abs());
                }
            }
        }
    }
    Ok(bar_row(
        "energy books, imbalance over turnover",
        "conservation of energy",
        errors,
        ("ratio", 1e-6),
    ))
}

fn lamp(on: Draw, cable_mohm: f64) -> Load {
    Load {
        id: "lamp".into(),
        source: "main".into(),
        kind: LoadKind::Simple { on },
        cable_mohm,
        converter: None,
        fuse: None,
        minimum_v: 0.0,
        rides_through_s: 0.0,
        brown_out: BrownOut::Continues,
        inrush: None,
        idle_state: LoadState::On,
    }
}

/// One full source and one load, no sun, nothing uncertain.
fn dark_outing(battery: Battery, load: Load, duration_s: f64) -> EnergyInput {
    let source = Source {
        id: "main".into(),
        battery,
        start_share: Spread3::certain(1.0),
        warmth: Warmth::Air,
    };
    let sure = Spread3::certain(1.0);
    EnergyInput {
        duration_s,
        step_s: 60.0,
        sources: vec![source],
        turns: Vec::new(),
        loads: vec![load],
        panels: Vec::new(),
        activities: Vec::new(),
        handlings: Vec::new(),
        air_c: vec![(0.0, 25.0), (1.0, 25.0)],
        sun: SunTrack::none(),
        air: Air {
            altitude_m: 500.0,
            linke_turbidity: 3.0,
        },
        clear_sky: ClearSky::Ineichen,
        transposition: Transposition::HayDavies,
        albedo: 0.2,
        sky: vec![Sky::Broken.index()],
        uncertainty: Uncertainty {
            scenarios: 1,
            capacity_health: sure,
            resistance_factor: sure,
            temperature_k: Spread3::certain(0.0),
            duty_factor: sure,
            ..Uncertainty::default()
        },
        reserve_share: 0.2,
        reserve_confidence: 0.9,
    }
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
