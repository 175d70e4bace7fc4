//! What the day has shown already, for a search for a fault.

use farhop_day::{Event, FaultClass, FaultFound, FaultMended, Heard, HeardWho, Outcome, Swr, state};
use farhop_kit::fault::Symptom;
use farhop_next::noticed::{Evidence, Noticed, noticed};

use crate::common::{Day, at};

const OUTING: &str = r#"
[outing]
start = 2026-12-12T00:00
end = 2026-12-13T00:00
[[site]]
id = "hut"
place = "-43.4,170.8"
[[station]]
id = "far"
callsign = "Q1ABC"
place = "-42.9,170.7"
channels = [{ mhz = 7.05 }]
[[message]]
id = "arrived"
bytes = 300
[kit.transceiver]
full_power_swr = 2.5
[[kit.antenna]]
id = "link"
kind = "inverted-v"
length_m = 20
apex_height_m = 6
end_height_m = 2
"#;

fn day() -> Day {
    let reading = farhop_outing_file::read(OUTING, "test", &|_| Err(String::new()));
    Day::of(reading.outing.unwrap())
}

fn found(day: &Day) -> Vec<Noticed> {
    noticed(&state(&day.entries, &day.outing, at(300)))
}

fn swr(swr: f64) -> Event {
    Event::Swr(Swr {
        freq_mhz: 7.05,
        antenna: None,
        swr,
    })
}

#[test]
fn an_swr_that_the_set_does_not_bear_is_noticed_until_a_link() {
    let mut day = day();
    day.log(5, swr(2.4));
    assert!(found(&day).is_empty());
    day.log(10, swr(4.0));
    let all = found(&day);
    assert_eq!(all.len(), 1);
    assert_eq!(all[0].symptom, Symptom::HighSwr);
    assert!(matches!(all[0].evidence, Evidence::Swr { swr, .. } if swr == 4.0) && all[0].at == at(10));
    day.call(20, "far", 7.05, Outcome::Linked);
    assert!(found(&day).is_empty(), "a link says that everything worked");
}

#[test]
fn calls_that_fail_say_nothing_until_somebody_was_heard() {
    let mut day = day();
    day.call(5, "far", 7.05, Outcome::NoAnswer);
    day.call(10, "far", 7.05, Outcome::NoAnswer);
    assert!(found(&day).is_empty());
    let who = HeardWho::Station("far".to_owned());
    day.log(
        15,
        Event::Heard(Heard {
            who,
            freq_mhz: 7.05,
            strength: None,
        }),
    );
    let all = found(&day);
    assert_eq!((all.len(), all[0].symptom), (1, Symptom::NotHeard));
    assert_eq!(all[0].evidence, Evidence::NotAnswered(2));
}

#[test]
fn a_fault_counts_until_it_is_mended() {
    let mut day = day();
    let what = "modem does not answer".to_owned();
    day.log(
        5,
        Event::Fault(FaultFound {
            what: what.clone(),
            class: FaultClass::NoModem,
        }),
    );
    let all = found(&day);
    assert_eq!((all.len(), all[0].symptom), (1, Symptom::ModemSilent));
    day.log(9, Event::Mended(FaultMended { what, class: None }));
    assert!(found(&day).is_empty());
}
