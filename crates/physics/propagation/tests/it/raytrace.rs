//! MUF and elevation against an independent ray trace through other profiles (validation/propagation/muf_raytrace.csv).

use crate::common::{number, quantile, read};
use farhop_propagation::f2_layer::F2Layer;
use farhop_propagation::profile::ProfileInput;
use std::collections::HashMap;

fn layers() -> HashMap<String, F2Layer> {
    read("muf_cases.csv")
        .iter()
        .map(|row| {
            let get = |c| number(row, c).unwrap();
            let input = ProfileInput {
                fof2_mhz: get("fof2_mhz"),
                m3000f2: get("m3000f2"),
                foe_mhz: get("foe_mhz"),
                hmf2_km: get("hmf2_km"),
                sun_zenith_deg: get("sun_zenith_deg"),
            };
            (row["case"].to_owned(), F2Layer::new(&input))
        })
        .collect()
}

#[test]
fn ordinary_muf_of_one_hop() {
    let layers = layers();
    let mut by_distance: HashMap<i64, Vec<f64>> = HashMap::new();
    for row in read("muf_raytrace.csv") {
        let (hop_km, judge) = (number(&row, "hop_km").unwrap(), number(&row, "muf_f_mhz"));
        if number(&row, "muf_f_pedersen_only") == Some(1.0) || hop_km > 2_000.0 {
            continue;
        }
        let ratio = layers[&row["case"]].muf_ordinary_mhz(hop_km) / judge.unwrap();
        by_distance.entry(hop_km as i64).or_default().push(ratio);
    }
    for (hop_km, ratios) in &mut by_distance {
        let (p10, p50, p90) = (quantile(ratios, 0.1), quantile(ratios, 0.5), quantile(ratios, 0.9));
        println!("{hop_km} km: {p10:.3} {p50:.3} {p90:.3}");
        // The bar: median within 0.95 to 1.05, 10 to 90 % within 0.85 to 1.15.
        assert!((0.95..=1.05).contains(&p50), "{hop_km} km: median {p50}");
        assert!(p10 >= 0.85 && p90 <= 1.15, "{hop_km} km: {p10} to {p90}");
    }
    assert_eq!(by_distance.len(), 7);
}

#[test]
fn elevation_of_the_low_ray() {
    let layers = layers();
    let mut errors = Vec::new();
    let mut missing = 0;
    for row in read("muf_raytrace.csv") {
        let Some(judge_deg) = number(&row, "low_f_elevation_deg") else {
            continue;
        };
        // A formal ray so close to the E layer's cut-off that a degree of elevation moves it by 1 000 km carries
        // nothing.
        if number(&row, "practical_f_rays") == Some(0.0) {
            continue;
        }
        let (freq_mhz, hop_km) = (number(&row, "freq_mhz").unwrap(), number(&row, "hop_km").unwrap());
        match layers[&row["case"]].low_ray(freq_mhz, hop_km) {
            Some(low) => {
                let e = low.ray.elevation_rad.to_degrees() - judge_deg;
                errors.push(e.abs());
            }
            None => {
                missing += 1;
                errors.push(f64::INFINITY);
            }
        }
    }
    let (p50, p90) = (quantile(&mut errors, 0.5), quantile(&mut errors, 0.9));
    println!(
        "{} rays, {missing} missing: {p50:.2} {p90:.2} worst finite {:.2}",
        errors.len(),
        quantile(&mut errors, 1.0)
    );
    // The bar: median below 2 deg, 90 % below 5 deg; a ray that is not found counts as an infinite error.
    assert!(p50 < 2.0 && p90 < 5.0, "{p50} {p90}");
}
