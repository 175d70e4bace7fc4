//! The advice on bad days: read as somebody who obeys it.

use farhop_days::FaultClass;
use farhop_next::Action;
use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_plan::analysis::analyse;
use farhop_plan::watch::Unwatched;
use farhop_store::kept::solutions::Solutions;
use farhop_trials::made_up::MadeUp;
use farhop_trials::on_the_hill::{Lived, Truth, live};

/// Days of each kind; `FARHOP_TRIAL_DAYS` asks for more.
fn days() -> usize {
    std::env::var("FARHOP_TRIAL_DAYS")
        .ok()
        .and_then(|d| d.parse().ok())
        .unwrap_or(16)
}

/// Six stations near enough to be heard.
fn hill() -> MadeUp {
    MadeUp {
        end: "2027-05-14T20:00".to_owned(),
        stations: (0..6)
            .map(|k| (46.0 + 0.8 * f64::from(k), 8.0 + f64::from(k), 0.1, 0.15))
            .collect(),
        ..MadeUp::default()
    }
}

fn plan(made_up: &MadeUp) -> (Outing, Analysis) {
    let outing = made_up.outing();
    let plan = analyse(&outing, &Solutions::of_user(), &Unwatched).unwrap();
    (outing, plan)
}

/// What must hold on every day whatever happens.
fn sane(outing: &Outing, lived: &Lived) {
    assert_eq!(lived.forbidden(outing), None);
}

#[test]
fn a_day_on_which_nobody_ever_answers() {
    let (outing, plan) = plan(&hill());
    let lived = live(&outing, &plan, &Truth::Silence, 1);
    for m in &lived.moments {
        let best = m.step.best.as_ref().map(|b| {
            (
                b.send.route.station,
                b.send.messages.first().map(|m| m.chance.percent()),
            )
        });
        println!("{:?} {:?} {best:?} {:?}", m.at, m.step.action, m.step.suspects.first());
    }
    sane(&outing, &lived);
    assert_eq!(lived.left.len(), outing.messages.len());
    let check = lived
        .moments
        .iter()
        .position(|m| matches!(m.step.action, Action::Check(_)));
    let check = check.expect("after many silent stations the own set is looked at");
    assert!(
        lived.moments[check].silent_stations <= 4,
        "{} stations were silent",
        lived.moments[check].silent_stations
    );
    let called = lived.moments.iter().filter(|m| m.step.action == Action::Call).count();
    assert!(called >= 6, "the day is not given up: {called} calls");
}

#[test]
fn an_emergency_message_is_always_tried() {
    let (outing, plan) = plan(&MadeUp {
        messages: vec![
            ("help".to_owned(), 200, None, None, "emergency".to_owned()),
            ("diary".to_owned(), 3_000, None, None, "low".to_owned()),
        ],
        power_w: 0.5,
        efficiency: 0.03,
        ..hill()
    });
    let lived = live(&outing, &plan, &Truth::Silence, 1);
    sane(&outing, &lived);
    let first = lived
        .moments
        .iter()
        .find(|m| m.step.action == Action::Call)
        .expect("a call");
    let lead = first.step.best.as_ref().unwrap().send.messages[0].message;
    assert_eq!(outing.messages[lead].id.as_str(), "help");
    assert!(lived.moments.iter().filter(|m| m.step.action == Action::Call).count() >= 5);
}

#[test]
fn own_faults_are_named_by_the_fourth_silent_station_and_sound_stations_are_left_alone() {
    let (outing, plan) = plan(&hill());
    let named = |class: Option<FaultClass>, day: usize| {
        let truth = Truth::with_fault(&plan, class, day, 91);
        let lived = live(&outing, &plan, &truth, 7 + day as u64);
        sane(&outing, &lived);
        lived
            .moments
            .iter()
            .find(|m| matches!(m.step.action, Action::Check(_)))
            .map(|m| m.silent_stations)
    };
    // Without power nobody calls: that fault tells of itself.
    let classes = [FaultClass::NothingOut, FaultClass::NoModem];
    let found = (0..days())
        .filter(|d| named(Some(classes[d % classes.len()]), *d).is_some_and(|s| s <= 4))
        .count();
    let alarms = (0..days()).filter(|d| named(None, *d).is_some()).count();
    let share = |n: usize| n as f64 / days() as f64;
    println!(
        "named by the fourth silent station on {:.0} %, false alarms on {:.0} % of {} days each",
        100.0 * share(found),
        100.0 * share(alarms),
        days()
    );
    assert!(share(found) >= 0.8, "{found} of {}", days());
    assert!(share(alarms) < 0.1, "{alarms} of {}", days());
}
