//! Absorption against first-principles integrals (validation/propagation/absorption_fp.csv).

use crate::common::{number, quantile, read};
use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
use farhop_propagation::absorption::{Component, DRegion, Wave, crossing_db, e_leg_db};
use farhop_propagation::f2_layer::F2Layer;
use farhop_propagation::profile::ProfileInput;
use std::f64::consts::FRAC_PI_2;

/// Sun zenith in degrees, frequency in MHz, ratio of ours to the judge's.
fn ratios() -> Vec<(f64, f64, f64)> {
    let field = IgrfEpoch::at(2020.5).unwrap();
    let ionosphere = Ionosphere::embedded();
    let mut out = Vec::new();
    for row in read("absorption_fp.csv") {
        let get = |c| number(&row, c).unwrap();
        let (freq_mhz, foe_mhz, fof2_mhz) = (get("freq_mhz"), get("foe_mhz"), get("fof2_mhz"));
        let Some(judge_db) = number(&row, "to_reflection_o_db") else {
            continue;
        };
        if freq_mhz <= 1.15 * foe_mhz || freq_mhz >= 0.85 * fof2_mhz {
            continue;
        }
        let ut_h = get("ut_h");
        let time = UtcTime::from_civil(2020, get("month") as i8, 15, 0, 0, 0)
            .unwrap()
            .add_s((ut_h * 3600.0) as i64);
        let place = Place::new(get("lat_deg"), 0.0).unwrap();
        let conditions = SkyConditions::quiet(Activity::from_flux(get("flux_sfu")).unwrap());
        let layers = ionosphere.layers(&field, place, time, &conditions);
        let zenith = get("sun_zenith_deg");
        let f2 = F2Layer::new(&ProfileInput {
            fof2_mhz,
            m3000f2: layers.m3000f2,
            foe_mhz,
            hmf2_km: layers.hmf2_km,
            sun_zenith_deg: zenith,
        });
        let upper_db = f2.low_ray(freq_mhz, 0.0).unwrap().ray.upper_loss_db;
        let index = DRegion {
            sun_zenith_deg: zenith,
            r12: get("r12"),
            lat_deg: get("lat_deg"),
            sun_declination_deg: layers.sun_declination_deg,
        }
        .index();
        let wave = Wave {
            freq_mhz,
            longitudinal_gyro_mhz: 1.2,
            component: Component::Ordinary,
        };
        let ours_db = 2.0 * index * crossing_db(&wave, FRAC_PI_2, foe_mhz) + upper_db;
        out.push((zenith, freq_mhz, ours_db / judge_db));
    }
    out
}

#[test]
fn whole_hop_by_day_and_by_night() {
    let all = ratios();
    for freq in [3.6, 5.35, 7.1, 10.1, 14.1] {
        for (name, range) in [("day", 0.0..75.0), ("low sun", 75.0..89.0), ("night", 89.0..180.0)] {
            let mut set: Vec<f64> = all
                .iter()
                .filter(|r| r.1 == freq && range.contains(&r.0))
                .map(|r| r.2)
                .collect();
            if set.is_empty() {
                continue;
            }
            let (p10, p50, p90) = (
                quantile(&mut set, 0.1),
                quantile(&mut set, 0.5),
                quantile(&mut set, 0.9),
            );
            println!("{freq} MHz {name}: {} {p10:.2} {p50:.2} {p90:.2}", set.len());
            if freq < 12.0 && name == "day" {
                // The bar: median ratio within 0.75 to 1.35 for 3.5 to 10.2 MHz and zenith below 75 deg.
                assert!((0.75..=1.35).contains(&p50), "{freq} MHz: {p50}");
            }
            if name == "night" {
                // The bar: night within a factor of 2.
                assert!((0.5..=2.0).contains(&p50), "{freq} MHz {name}: {p50}");
            }
        }
    }
}

/// validation/propagation/oblique_absorption.csv: rays past the E layer and rays that it turns, integrated numerically.
#[test]
fn oblique_rays_by_day() {
    // As the judge's profile: foE and gyrofrequency, and the index that its vertical loss stands for.
    let (foe_mhz, longitudinal_gyro_mhz, index) = (3.82, 0.16, 1.34);
    for row in read("oblique_absorption.csv") {
        let get = |c| number(&row, c).unwrap();
        let (freq_mhz, elevation_rad) = (get("freq_mhz"), get("elevation_deg").to_radians());
        let wave = Wave {
            freq_mhz,
            longitudinal_gyro_mhz,
            component: Component::Ordinary,
        };
        if get("passes") == 1.0 {
            let over_vertical = crossing_db(&wave, elevation_rad, foe_mhz) / crossing_db(&wave, FRAC_PI_2, foe_mhz);
            let ratio = over_vertical / (get("loss_db") / get("vertical_db"));
            println!("{freq_mhz} MHz {} deg: {ratio:.3}", get("elevation_deg"));
            assert!(
                (0.9..=1.1).contains(&ratio),
                "{freq_mhz} MHz {} deg: {ratio}",
                get("elevation_deg")
            );
        } else {
            // The MUF of that ray by the thin E layer: the secant at its peak.
            let muf_mhz = foe_mhz * farhop_propagation::sphere::secant_at_height(elevation_rad, 110.0);
            let (per_index, fixed) = e_leg_db(&wave, elevation_rad, freq_mhz / muf_mhz);
            let ratio = 2.0 * (index * per_index + fixed) / get("loss_db");
            println!("{freq_mhz} MHz {} deg, turned by E: {ratio:.3}", get("elevation_deg"));
            assert!(
                (1.0 / 1.5..=1.5).contains(&ratio),
                "{freq_mhz} MHz {} deg: {ratio}",
                get("elevation_deg")
            );
        }
    }
}
