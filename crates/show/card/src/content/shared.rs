//! What holds at every place: faults, tuner, warnings, rules of law; and what stands at the foot of every side.

use farhop_ionosphere::ActivitySource;
use farhop_show::cautions::hazards;
use farhop_show::safety::rules::rules_lines;

use super::{Body, Chapter, Desk, Line, Panel, faults, tuner};

/// The chapter.
pub(super) fn chapter(desk: &Desk<'_>) -> Chapter {
    let lines = |list: Vec<String>| Body::Lines(list.into_iter().map(|s| Line::new("", s.replace('`', ""))).collect());
    let mut panels = vec![faults::panel(desk)];
    // What needs the whole width stands first, so that the rest shares its columns.
    if let Some(tuner) = tuner::panel(desk) {
        panels.insert(usize::from(!tuner.wide), tuner);
    }
    panels.push(Panel {
        heading: Some("WARNINGS"),
        wide: false,
        body: lines(hazards(desk.source.outing)),
    });
    panels.push(Panel {
        heading: Some("RULES"),
        wide: false,
        body: lines(rules_lines(desk.source.outing)),
    });
    Chapter {
        title: "AT EVERY PLACE".to_owned(),
        strap: desk.source.outing.header.name.clone(),
        panels,
    }
}

/// `Farhop 0.1.0, made Sat 28 Nov 2026 11:40 UTC; sky: R12 96 (expected), K 3. Local time NZDT = UTC+13`.
pub(super) fn foot(desk: &Desk<'_>) -> String {
    let source = desk.source;
    let made = source.made.map_or_else(String::new, |at| {
        let day = farhop_earth::clock::in_zone(at, &farhop_earth::clock::TimeZone::UTC);
        format!(", made {}", day.strftime("%-d %b %Y %H:%M UTC"))
    });
    let conditions = &source.plan.setting.conditions;
    let activity = &conditions.activity;
    let whence = match activity.source() {
        ActivitySource::SunspotNumber | ActivitySource::Flux => " (stated)",
        ActivitySource::Observed => " (observed)",
        ActivitySource::Predicted => " (predicted)",
        ActivitySource::LongTermMean => " (mean of many years)",
    };
    let k = if conditions.k_series.is_some() {
        "K by the hour".to_owned()
    } else {
        conditions
            .k_index
            .map_or_else(|| "K not stated".to_owned(), |k| format!("K {k:.0}"))
    };
    format!(
        "Farhop {}{made}; sky R12 {:.0}{whence}, {k}. {}",
        env!("CARGO_PKG_VERSION"),
        activity.r12(),
        desk.clock.zones_words(source.outing.header.start)
    )
}
