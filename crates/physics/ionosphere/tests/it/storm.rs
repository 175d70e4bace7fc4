//! The storm factor against the model's own code, and what a K series does to the sky.

use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::storm::{StormInputs, fof2_storm_factor, published_storm_factor};
use farhop_ionosphere::{Activity, Ionosphere, KSeries, SkyConditions};

/// `storm_points.csv`: the steps of the model's subroutine on its own tables.
#[test]
fn history_and_factor_are_those_of_the_model() {
    let start = UtcTime::from_civil(2026, 1, 1, 0, 0, 0).unwrap();
    let (mut worst_history, mut worst_factor, mut rows) = (0.0_f64, 0.0_f64, 0);
    for row in farhop_vectors::table("ionosphere/storm_points.csv") {
        let kp: Vec<f64> = row.text("kp").split(' ').map(|k| k.parse().unwrap()).collect();
        let last_step = kp.len() as i64 - 1;
        let series = KSeries::by_three_hours(start, kp).unwrap();
        // The middle hour of the last step, in its middle.
        let history = series.ap_history(start.add_s(10_800 * last_step + 5_400));
        worst_history = worst_history.max((history / row.value("ap_history") - 1.0).abs());
        let factor = published_storm_factor(&StormInputs {
            ap_history: row.value("ap_history"),
            geomagnetic_lat_deg: row.value("lat_deg"),
            day_of_year: row.value("day_of_year") as u16,
        });
        worst_factor = worst_factor.max((factor - row.value("factor")).abs());
        rows += 1;
    }
    println!("{rows} cases: history within {worst_history:.1e}, factor within {worst_factor:.1e}");
    assert!(rows == 320 && worst_history < 1e-4 && worst_factor < 1e-5);
}

/// Our bounds only ever take away from the published rise, or hold a loss at its worst.
#[test]
fn the_bounds_never_add_to_the_published_factor_in_its_range() {
    for row in farhop_vectors::table("ionosphere/storm_points.csv") {
        // Past about 2 400 the first polynomials turn.
        if row.value("ap_history") < 2_400.0 {
            let inputs = StormInputs {
                ap_history: row.value("ap_history"),
                geomagnetic_lat_deg: row.value("lat_deg"),
                day_of_year: row.value("day_of_year") as u16,
            };
            assert!(
                fof2_storm_factor(&inputs) <= published_storm_factor(&inputs) + 1e-9,
                "{inputs:?}"
            );
        }
    }
}

fn fof2_mhz(conditions: &SkyConditions, time: UtcTime) -> f64 {
    let field = IgrfEpoch::at(2026.5).unwrap();
    let place = Place::new(-43.5, 170.5).unwrap();
    Ionosphere::embedded().layers(&field, place, time, conditions).fof2_mhz
}

/// The hours before count: a storm that has just begun does less than one that lasts, and one that is over still weighs.
#[test]
fn the_sky_remembers_the_hours_before() {
    let noon = UtcTime::from_civil(2026, 12, 15, 1, 0, 0).unwrap();
    let with = |values: Vec<f64>| {
        let mut conditions = SkyConditions::quiet(Activity::from_ssn(80.0).unwrap());
        let steps = values.len() as i64;
        let start = noon.add_s(-10_800 * (steps - 1) - 3_600);
        conditions.k_series = Some(KSeries::by_three_hours(start, values).unwrap());
        fof2_mhz(&conditions, noon)
    };
    let quiet = with(vec![1.0; 13]);
    let lasting = with(vec![7.0; 13]);
    let begun = with([vec![1.0; 12], vec![7.0]].concat());
    let over = with([vec![7.0; 8], vec![1.0; 5]].concat());
    assert!(lasting < over && over < quiet, "{lasting} {over} {quiet}");
    assert!(lasting < begun && begun <= quiet, "{lasting} {begun} {quiet}");
}

/// One K for all times and a series of the same K are the same sky.
#[test]
fn a_steady_series_is_the_constant() {
    let time = UtcTime::from_civil(2026, 12, 15, 1, 0, 0).unwrap();
    let mut conditions = SkyConditions::quiet(Activity::from_ssn(80.0).unwrap());
    conditions.k_index = Some(6.0);
    let constant = fof2_mhz(&conditions, time);
    conditions.k_index = None;
    conditions.k_series = Some(KSeries::by_day(time.add_s(-3 * 86_400), vec![6.0; 5]).unwrap());
    assert!((fof2_mhz(&conditions, time) - constant).abs() < 1e-9);
}
