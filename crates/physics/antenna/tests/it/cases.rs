//! The public reference cases; the whole set also stands in the table of agreement.

use crate::common;
use std::path::PathBuf;

use crate::common::{Cut, compare};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../../validation/antenna")
}

#[test]
fn impedances_gains_and_efficiencies_are_within_their_bars() {
    for cut in [Cut::WireList, Cut::Automatic] {
        let solved = compare::solve_all(&folder(), cut, |_| true).unwrap();
        assert_eq!(solved.len(), 168);
        for e in compare::impedances(&folder(), &solved).unwrap() {
            assert!(
                e.r_of_bar <= 1.0 && e.x_of_bar <= 1.0,
                "{cut:?} {}: {} {}",
                e.name,
                e.r_of_bar,
                e.x_of_bar
            );
            assert!(e.r_ohm > 0.0, "{}", e.name);
        }
        for (name, db) in compare::gains_db(&folder(), &solved).unwrap() {
            assert!(db <= 0.3, "{cut:?} {name}: {db} dB");
        }
        for e in compare::efficiencies(&folder(), &solved).unwrap() {
            let error = (e.ours - e.reference).abs();
            let bar = if e.relative { 0.05 * e.reference } else { 0.03 };
            assert!(
                error <= bar,
                "{cut:?} {}: {} instead of {}",
                e.name,
                e.ours,
                e.reference
            );
            assert!(e.imbalance.unwrap_or(0.0) < 0.01, "{}", e.name);
        }
        for percent in compare::mutuals(&folder(), &solved).unwrap() {
            assert!(percent < 1.0, "{cut:?} mutual {percent} %");
        }
    }
}

#[test]
fn the_listed_segmentation_reproduces_the_reference_solver_at_that_segmentation() {
    let sheet = common::Sheet::read(&folder().join("impedance.csv")).unwrap();
    for (cut, r, x) in [
        (Cut::Listed, "R_hs_base", "X_hs_base"),
        (Cut::Double, "R_hs_fine", "X_hs_fine"),
    ] {
        let solved = compare::solve_all(&folder(), cut, |name| !name.starts_with("stl")).unwrap();
        for line in sheet.rows() {
            let key = (line.text("case").to_string(), line.text("frequency_mhz").to_string());
            let Some(currents) = solved.get(&key) else { continue };
            let z = currents.impedance_ohm();
            let (r, x) = (line.number(r), line.number(x));
            // Same basis, other quadratures and tables: half a per cent of |Z| or 0.1 ohm.
            let bar = (0.005 * r.hypot(x)).max(0.1);
            assert!(
                (z.re - r).abs() < bar && (z.im - x).abs() < bar,
                "{cut:?} {key:?}: {z} instead of {r} {x}"
            );
        }
    }
}

#[test]
fn near_fields_are_within_their_bars() {
    for (name, close, e, h) in compare::near_fields(&folder()).unwrap() {
        let bar = if close { 10.0 } else { 5.0 };
        assert!(e <= bar && h <= bar, "{name}: E {e} %, H {h} %");
    }
}

#[test]
fn tuned_loops_have_the_listed_resistance_slope_and_width() {
    for [r, slope, width] in compare::loop_widths(&folder()).unwrap() {
        assert!(r < 5.0 && slope < 5.0 && width < 5.0, "{r} {slope} {width}");
    }
}
