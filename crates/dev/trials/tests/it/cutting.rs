//! An outing that is cut to a message's own hours promises that message the same: nothing that lies outside them may count.

use farhop_earth::UtcTime;
use farhop_outing::{Outing, OutingParts};
use farhop_plan::analysis::Analysis;
use farhop_plan::analysis::analyse;
use farhop_plan::watch::Unwatched;
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::open;
use farhop_trials::made_up::MadeUp;

/// The bar: two points.
const BAR: f64 = 0.02;

fn plan(outing: &Outing) -> Analysis {
    analyse(outing, &Solutions::of_user(), &Unwatched).unwrap()
}

/// The chance of a message alone in the whole outing, and in the outing that ends and begins with its hours.
fn both(parts: &OutingParts, message: usize) -> (f64, f64) {
    let mut whole = parts.clone();
    whole.messages = vec![parts.messages[message].clone()];
    // Walks belong to the way in, not to the hours: both are there from the first minute.
    whole.sites.iter_mut().for_each(|s| s.walk_in_h = 0.0);
    let mut cut = whole.clone();
    let only = &whole.messages[0];
    cut.header.start = only.ready.unwrap_or(whole.header.start).max(whole.header.start);
    cut.header.end = only.deadline.min(whole.header.end);
    for site in &mut cut.sites {
        site.from = site
            .from
            .map(|t| clamp(t, cut.header.start, cut.header.end.add_s(-3_600)));
        site.until = site
            .until
            .map(|t| clamp(t, cut.header.start.add_s(3_600), cut.header.end));
    }
    cut.messages[0].ready = None;
    let chance = |parts: OutingParts| {
        let plan = plan(&Outing::new(parts).unwrap());
        plan.bottom.unwrap().chance.chance.probability()
    };
    (chance(whole), chance(cut))
}

fn clamp(time: UtcTime, low: UtcTime, high: UtcTime) -> UtcTime {
    time.max(low).min(high)
}

#[test]
fn twenty_made_up_outings_promise_the_same_when_they_are_cut_to_a_message() {
    let mut worst: (f64, String) = (0.0, String::new());
    for case in 0..20u32 {
        let ready_h = 9 + (case * 5) % 13;
        let length_h = 3 + (case * 7) % 10;
        let deadline_h = ready_h + length_h;
        let at = |h: u32| format!("2027-05-{:02}T{:02}:00", 14 + h / 24, h % 24);
        let made_up = MadeUp {
            power_w: [0.5, 1.0, 2.0, 5.0][case as usize % 4],
            efficiency: [0.03, 0.1, 0.4][case as usize % 3],
            k_index: f64::from(case % 6),
            noise: ["quiet-rural", "rural"][case as usize % 2].to_owned(),
            stations: vec![
                (38.7, -8.9, 0.1, 0.15),
                (60.3, 25.2, 0.05 * f64::from(case % 5), 0.1),
                (47.9, 10.9, 0.3, 0.2),
            ],
            messages: vec![(
                "late".to_owned(),
                200 + 90 * u64::from(case),
                Some(at(ready_h)),
                Some(at(deadline_h)),
                "high".to_owned(),
            )],
            ..MadeUp::default()
        };
        let (whole, cut) = both(&made_up.outing().into_parts(), 0);
        let apart = (whole - cut).abs();
        if apart > worst.0 {
            worst = (apart, format!("case {case}: {whole:.3} whole, {cut:.3} cut"));
        }
    }
    println!("worst: {}", worst.1);
    assert!(worst.0 <= BAR, "{}", worst.1);
}

#[test]
fn the_shipped_outings_promise_the_same_when_they_are_cut_to_a_message() {
    let folder = std::path::PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../../examples");
    for name in ["demo.toml", "north.toml", "equator.toml"] {
        let parts = open(Some(&folder.join(name))).unwrap().outing.into_parts();
        // The message that is due first stands for the file: each costs two plans.
        let first = (0..parts.messages.len())
            .min_by_key(|m| parts.messages[*m].deadline)
            .unwrap();
        let (whole, cut) = both(&parts, first);
        println!("{name}: {whole:.3} whole, {cut:.3} cut");
        assert!((whole - cut).abs() <= BAR, "{name}: {whole:.3} whole, {cut:.3} cut");
    }
}
