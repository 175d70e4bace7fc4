//! With what the last step worked out the next one is the same as without it.

use crate::common::{Day, at};
use farhop_day::{Event, Note, Outcome, Spot, Voltage, Written};
use farhop_next::today::{Known, NextAsk, NextStep, Today, next_step, next_step_knowing};

/// Everything that is told of a step.
fn told(step: &NextStep) -> String {
    let NextStep {
        step,
        days,
        stays,
        signs,
        own_faults,
        budget,
        calls,
        ..
    } = step;
    format!(
        "{step:?} {:?} {:?} {stays:?} {signs:?} {own_faults:?} {calls} {:?} {:?} {:?}",
        days.weights, days.log_evidence, budget.left_wh, budget.left_now_wh, budget.share_now
    )
}

#[test]
fn a_day_step_by_step_is_told_the_same_with_and_without_what_is_known() {
    let mut day = Day::at_the_hut();
    let mut known = Known::default();
    let note = |words: &str| {
        Event::Note(Note {
            words: words.to_owned(),
        })
    };
    let volts = |voltage_v| Event::Voltage(Voltage { voltage_v });
    let look = |day: &Day, minutes: i64, known: &mut Known| {
        let today = || Today::at(&day.outing, &day.entries, at(minutes));
        let fresh = next_step(today(), &day.store, NextAsk::default()).unwrap();
        let again = next_step_knowing(today(), &day.store, NextAsk::default(), known).unwrap();
        assert!(
            told(&fresh) == told(&again),
            "at {minutes} min after {:?}",
            day.entries.last()
        );
    };
    look(&day, 60, &mut known);
    // Nothing new, then what is no evidence, a reading, another reading, calls, another hour, a message, another place.
    look(&day, 60, &mut known);
    day.log(61, note("mist"));
    look(&day, 61, &mut known);
    for voltage_v in [12.9, 12.9, 12.1] {
        day.log(62, volts(voltage_v));
        look(&day, 62, &mut known);
    }
    day.call(64, "larch", 5.356, Outcome::NoAnswer);
    look(&day, 64, &mut known);
    look(&day, 130, &mut known);
    look(&day, 190, &mut known);
    let message = Written {
        message: "more".to_owned(),
        bytes: 420,
    };
    day.log(131, Event::Written(message));
    look(&day, 131, &mut known);
    day.log(140, Event::Moved(Spot::Site(day.outing.sites[0].id.to_string())));
    look(&day, 141, &mut known);
    // An earlier instant, and the next day.
    look(&day, 60, &mut known);
    look(&day, 26 * 60, &mut known);
    // Another outing altogether, with what is known of this one, and this one again.
    let first = day.outing.clone();
    let mut parts = first.clone().into_parts();
    parts.kit.transceiver.power_w = 1.0;
    day.outing = farhop_outing::Outing::new(parts).unwrap();
    look(&day, 141, &mut known);
    day.outing = first;
    look(&day, 141, &mut known);
}
