//! Two hundred days that go wrong in one way or another, made from numbers and not from a list: what must never be said is never said.
//! Every run lives through some of them; `FARHOP_SCRIPTED_DAYS=200` through all.

use farhop_days::{DayFade, FaultClass};
use farhop_next::Action;
use farhop_outing::{Outing, Priority};
use farhop_plan::analysis::Analysis;
use farhop_plan::analysis::analyse;
use farhop_plan::watch::Unwatched;
use farhop_store::kept::solutions::Solutions;
use farhop_trials::made_up::MadeUp;
use farhop_trials::on_the_hill::{Lived, Truth, live};

/// Days that are lived through.
fn days() -> usize {
    let asked = std::env::var("FARHOP_SCRIPTED_DAYS").ok();
    asked.and_then(|d| d.parse().ok()).unwrap_or(40)
}

/// Days that share an outing.
const DAYS_AN_OUTING: usize = 20;

/// What goes wrong.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Script {
    /// Nobody ever answers, and nobody knows why.
    Silence,
    /// Something of the own station is broken from the start.
    Fault(FaultClass),
    /// The same from some hour on.
    LateFault(FaultClass),
    /// A fade-out over half of the day.
    FadeOut,
    /// Nothing but what the day brings.
    Sound,
}

impl Script {
    fn of(day: usize) -> Self {
        let class = [FaultClass::NothingOut, FaultClass::NoModem][day / 5 % 2];
        match day % 5 {
            0 => Self::Silence,
            1 => Self::Fault(class),
            2 => Self::LateFault(class),
            3 => Self::FadeOut,
            _ => Self::Sound,
        }
    }

    fn truth(self, outing: &Outing, plan: &Analysis, day: usize) -> Truth {
        let (start_s, end_s) = (outing.header.start.unix_s(), outing.header.end.unix_s());
        let at = |share: f64| start_s + (share * (end_s - start_s) as f64) as i64;
        let class = match self {
            Self::Silence => return Truth::Silence,
            Self::Fault(class) | Self::LateFault(class) => Some(class),
            Self::FadeOut | Self::Sound => None,
        };
        let mut truth = Truth::with_fault(plan, class, day, 91);
        let Truth::Day { days, .. } = &mut truth else {
            return truth;
        };
        days.fades.clear();
        match self {
            Self::LateFault(_) => days.known_faults[0].from_s = at(0.2 + 0.05 * (day % 7) as f64),
            Self::FadeOut => days.fades.extend((0..days.count as u32).map(|of| DayFade {
                day: of,
                from_s: at(0.1),
                until_s: at(0.6),
                loss_db: 60.0,
            })),
            _ => {}
        }
        truth
    }
}

/// The outings differ in stations, power, noise, disturbance and messages.
fn outing(number: usize) -> Outing {
    let pick = |list: &[f64], shift: usize| list[(number * 7 + shift * 3) % list.len()];
    let stations = (0..4 + number % 3)
        .map(|k| {
            let (lat, lon) = (45.6 + 0.9 * k as f64, 8.0 + 1.1 * ((k * 3 + number) % 6) as f64);
            (lat, lon, pick(&[0.05, 0.1, 0.3], k), pick(&[0.1, 0.15, 0.25], k + 1))
        })
        .collect();
    let message = |id: &str, bytes: u64, deadline: Option<&str>, priority: &str| {
        (
            id.to_owned(),
            bytes,
            None,
            deadline.map(str::to_owned),
            priority.to_owned(),
        )
    };
    let mut messages = vec![
        message(
            "first",
            200 + 100 * (number as u64 % 5),
            Some("2027-05-14T15:00"),
            "high",
        ),
        message("second", 1_500, None, "normal"),
    ];
    if number % 2 == 1 {
        messages.push(message("help", 180, Some("2027-05-14T18:00"), "emergency"));
    }
    let made_up = MadeUp {
        end: "2027-05-14T20:00".to_owned(),
        stations,
        messages,
        k_index: pick(&[1.0, 2.0, 4.0], 0),
        flux_sfu: pick(&[90.0, 120.0, 170.0], 1),
        batteries_ah: vec![pick(&[4.0, 8.0], 2)],
        ..MadeUp::default()
    };
    made_up.outing()
}

/// What must hold of the emergency message: it goes first, and it is tried.
fn emergency_is_tried(outing: &Outing, lived: &Lived) {
    let Some(help) = outing.messages.iter().position(|m| m.priority == Priority::Emergency) else {
        return;
    };
    let first = lived.calls().next().expect("a call for the emergency message");
    let send = &first.best.as_ref().unwrap().send;
    assert_eq!(send.messages[0].message, help);
}

#[test]
fn what_must_never_be_said_is_never_said_on_days_that_go_wrong() {
    let (mut faults, mut named, mut sound, mut alarms, mut calls) = (0, 0, 0, 0, 0);
    let mut shown: Option<(Outing, Analysis)> = None;
    for day in 0..days() {
        if day % DAYS_AN_OUTING == 0 {
            let outing = outing(day / DAYS_AN_OUTING);
            let plan = analyse(&outing, &Solutions::of_user(), &Unwatched).unwrap();
            shown = Some((outing, plan));
        }
        let Some((outing, plan)) = &shown else { continue };
        let script = Script::of(day);
        let lived = live(outing, plan, &script.truth(outing, plan, day), 7 + day as u64);
        assert_eq!(lived.forbidden(outing), None, "day {day}, {script:?}");
        emergency_is_tried(outing, &lived);
        calls += lived.calls().count();
        match script {
            Script::Silence => {
                assert_eq!(lived.left.len(), outing.messages.len());
                assert!(lived.calls().count() >= 4, "day {day} is given up");
                assert!(
                    lived.checked_after().is_some(),
                    "day {day}: never a word of the own station"
                );
            }
            Script::Fault(_) => {
                faults += 1;
                named += usize::from(lived.checked_after().is_some_and(|s| s <= 4));
            }
            Script::Sound => {
                sound += 1;
                alarms += usize::from(lived.checked_after().is_some());
            }
            Script::LateFault(_) | Script::FadeOut => {}
        }
        let over = lived.moments.last().map(|m| m.step.action);
        assert!(
            !matches!(over, Some(Action::Move(..))),
            "day {day}: there is no other place"
        );
    }
    println!(
        "{} days, {calls} calls; named by the fourth silent station on {named} of {faults} days with a fault; false alarms on {alarms} of {sound} sound days",
        days()
    );
    assert!(named as f64 >= 0.8 * faults as f64, "{named} of {faults}");
    assert!((alarms as f64) < 0.1 * (sound as f64).max(10.0), "{alarms} of {sound}");
}
