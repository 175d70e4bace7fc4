//! What meters, broadcasts and ionosondes said, tasks and faults of the own station.

use crate::common::{Table, at, demo};
use farhop_day::{
    Begun, Event, FaultClass, FaultFound, FaultMended, Fof2, Noise, NoiseLevel, PanelCurrent, PowerOut, SpaceWeather,
    Spot, Swr, Task, Thunder, TunerRefused, Voltage, Weather,
};
use farhop_outing::Activity;

fn swr(freq_mhz: f64, swr: f64) -> Event {
    Event::Swr(Swr {
        freq_mhz,
        antenna: None,
        swr,
    })
}

fn noise(freq_mhz: f64, level_dbm: f64) -> Event {
    Event::Noise(Noise {
        freq_mhz,
        level: NoiseLevel::Power { level_dbm },
        bandwidth_hz: 500.0,
    })
}

fn refused(freq_mhz: f64) -> Event {
    Event::TunerRefused(TunerRefused {
        freq_mhz,
        antenna: None,
    })
}

fn weather(temperature_c: Option<f64>) -> Event {
    Event::Weather(Weather {
        words: "fog".to_owned(),
        temperature_c,
    })
}

#[test]
fn of_each_kind_and_band_the_newest_reading_stands() {
    let day = Table::of(&[
        (1, swr(7.05, 3.0)),
        (2, swr(10.14, 2.0)),
        (3, swr(7.01, 1.2)),
        (4, noise(7.05, -100.0)),
        (5, noise(14.1, -110.0)),
        (6, noise(7.0, -95.0)),
        (7, refused(7.05)),
        (8, refused(5.36)),
        (9, refused(7.1)),
        (10, Event::Voltage(Voltage { voltage_v: 12.9 })),
        (11, Event::Voltage(Voltage { voltage_v: 12.7 })),
        (12, Event::PanelCurrent(PanelCurrent { current_a: 0.4 })),
        (13, weather(Some(4.0))),
        (14, weather(None)),
    ])
    .state(&demo(), 20);
    let read = &day.readings;
    let bands: Vec<(f64, f64)> = read.swr.iter().map(|n| (n.value.freq_mhz, n.value.swr)).collect();
    assert_eq!(bands, [(10.14, 2.0), (7.01, 1.2)]);
    let levels: Vec<f64> = read.noise.iter().map(|n| n.value.level.level_dbm()).collect();
    assert_eq!(levels, [-110.0, -95.0]);
    let mhz: Vec<f64> = read.tuner_refused.iter().map(|n| n.value.freq_mhz).collect();
    assert_eq!(mhz, [5.36, 7.1]);
    let volts = read.voltage.as_ref().unwrap();
    assert_eq!((volts.value.voltage_v, volts.entry, volts.at), (12.7, 11, at(11)));
    assert_eq!(read.panel.as_ref().unwrap().value.current_a, 0.4);
    // Words about the weather take no reading away.
    assert_eq!(read.temperature_c.as_ref().unwrap().value, 4.0);
    assert!(read.power_out.is_none() && read.fof2.is_none() && read.conditions.is_none());
}

#[test]
fn power_out_that_names_its_match_is_a_reading_of_it() {
    let power = |freq_mhz, swr| {
        Event::PowerOut(PowerOut {
            power_w: 4.0,
            freq_mhz,
            antenna: None,
            swr,
        })
    };
    let day = Table::of(&[
        (1, power(Some(7.05), Some(1.7))),
        (2, power(Some(7.05), None)),
        (3, power(None, Some(9.0))),
    ])
    .state(&demo(), 4);
    assert_eq!(day.readings.swr.len(), 1);
    assert_eq!((day.readings.swr[0].value.swr, day.readings.swr[0].entry), (1.7, 1));
    assert_eq!(day.readings.power_out.as_ref().unwrap().entry, 3);
}

#[test]
fn what_broadcasts_say_adds_up_and_stands_in_the_outing() {
    let heard = |flux_sfu, a_index, k_index| {
        Event::Conditions(SpaceWeather {
            flux_sfu,
            a_index,
            k_index,
        })
    };
    let mut parts = demo().into_parts();
    parts.conditions.k_index = None;
    parts.conditions.k_by_day = vec![2.0, 3.0];
    let planned = farhop_outing::Outing::new(parts).unwrap();
    let flux_alone = Table::of(&[(1, heard(Some(140.0), None, None))]).state(&planned, 2);
    let own = &flux_alone.outing.conditions;
    assert!(matches!(own.activity, Some(Activity::Flux { flux_sfu }) if flux_sfu == 140.0));
    assert_eq!(own.k_by_day, [2.0, 3.0], "without a K that was heard the series stays");
    let day = Table::of(&[
        (1, heard(Some(140.0), Some(15.0), None)),
        (2, heard(None, None, Some(5.0))),
        (3, heard(None, Some(30.0), None)),
    ])
    .state(&planned, 4);
    let all = day.readings.conditions.as_ref().unwrap();
    assert_eq!(
        (all.value.flux_sfu, all.value.a_index, all.value.k_index),
        (Some(140.0), Some(30.0), Some(5.0))
    );
    assert_eq!(all.entry, 3);
    let own = &day.outing.conditions;
    assert_eq!((own.k_index, own.a_index), (Some(5.0), Some(30.0)));
    assert!(own.k_by_day.is_empty());
}

#[test]
fn a_reading_of_the_layer_stands_where_it_was_made_or_where_one_is() {
    let read = |lat_deg, lon_deg| {
        Event::Fof2(Fof2 {
            fof2_mhz: 6.5,
            lat_deg,
            lon_deg,
        })
    };
    let hut = Event::Moved(Spot::Site("hut".to_owned()));
    let day = Table::of(&[(0, hut), (1, read(Some(-30.0), Some(150.0))), (2, read(None, None))]).state(&demo(), 3);
    let stated = &day.outing.conditions.fof2;
    let before = demo().conditions.fof2.len();
    assert_eq!(stated.len(), before + 2);
    assert_eq!((stated[before].place.lat_deg(), stated[before].at), (-30.0, at(1)));
    let hut = demo().sites.iter().find(|s| s.id.as_str() == "hut").unwrap().place;
    assert_eq!(stated[before + 1].place, hut);
    assert_eq!(day.readings.fof2.as_ref().unwrap().entry, 3);
    assert_eq!(day.readings.fof2.as_ref().unwrap().site, day.site());
    // Away from every site nobody knows where it belongs: it is kept and stands nowhere.
    let away = Event::Moved(Spot::Point {
        lat_deg: -43.0,
        lon_deg: 171.0,
    });
    let day = Table::of(&[(0, away), (1, read(None, None))]).state(&demo(), 2);
    assert_eq!(day.outing.conditions.fof2.len(), before);
    assert!(day.readings.fof2.is_some() && day.here().is_none());
}

#[test]
fn a_task_takes_the_minutes_that_are_said_else_what_the_outing_says() {
    let begun = |task, minutes| Event::Begun(Begun { task, minutes });
    let hang = |antenna: &str| Task::Hang {
        antenna: antenna.to_owned(),
    };
    let check = || Task::Check {
        what: "plugs".to_owned(),
    };
    // The linked dipole takes 20 minutes by the outing.
    let end = |event| Table::of(&[(3, event)]).state(&demo(), 4).task.unwrap().end;
    assert_eq!(end(begun(hang("link"), None)), Some(at(23)));
    assert_eq!(end(begun(hang("link"), Some(7.5))), Some(at(3).add_s(450)));
    assert_eq!(end(begun(check(), None)), None);
    assert_eq!(end(begun(check(), Some(4.0))), Some(at(7)));
    // What is found or mended ends a check, and no other task.
    let fault = || {
        Event::Fault(FaultFound {
            what: "plug".to_owned(),
            class: FaultClass::NothingOut,
        })
    };
    let task = |of: Event| Table::of(&[(1, of), (2, fault())]).state(&demo(), 3).task;
    assert!(task(begun(check(), None)).is_none());
    assert!(task(begun(hang("link"), None)).is_some());
}

fn found(what: &str, class: FaultClass) -> Event {
    Event::Fault(FaultFound {
        what: what.to_owned(),
        class,
    })
}

fn mended(what: &str, class: Option<FaultClass>) -> Event {
    Event::Mended(FaultMended {
        what: what.to_owned(),
        class,
    })
}

#[test]
fn what_is_mended_is_what_is_named_or_the_only_one_that_is_open() {
    let two = [
        (1, found("coax", FaultClass::NothingOut)),
        (2, found("modem", FaultClass::NoModem)),
    ];
    let open = |last: Event| -> Vec<String> {
        let mut events = two.to_vec();
        events.push((3, last));
        let day = Table::of(&events).state(&demo(), 4);
        day.open_faults().map(|f| f.what.clone()).collect()
    };
    assert_eq!(open(mended("COAX", None)), ["modem"]);
    assert_eq!(open(mended("", Some(FaultClass::NoModem))), ["coax"]);
    assert!(open(mended("", None)).is_empty());
    assert_eq!(open(mended("whip", None)), ["coax", "modem"]);
    assert_eq!(open(mended("coax", Some(FaultClass::NoModem))), ["coax", "modem"]);
    // Of one open fault there is no doubt, whatever it is called; another class is another fault.
    let one = |last: Event| Table::of(&[two[0].clone(), (3, last)]).state(&demo(), 4);
    let day = one(mended("the cable", None));
    assert_eq!(day.open_faults().count(), 0);
    assert_eq!(day.faults[0].mended.as_ref().map(|n| (n.entry, n.at)), Some((2, at(3))));
    assert_eq!(
        one(mended("the cable", Some(FaultClass::NoModem)))
            .open_faults()
            .count(),
        1
    );
    for (word, class) in FaultClass::WORDS {
        assert_eq!(class.word(), word);
    }
}

#[test]
fn one_waits_half_an_hour_from_the_last_thunder() {
    let thunder = |after_flash_s| Event::Thunder(Thunder { after_flash_s });
    let table = Table::of(&[(1, thunder(Some(12.0))), (20, thunder(None))]);
    let day = table.state(&demo(), 21);
    // The 30-30 rule of lightning safety (common practice).
    assert_eq!(day.thunder_until(), Some(at(50)));
    assert_eq!(day.thunder.as_ref().unwrap().last.value, None);
    let then = |seconds| farhop_day::state(&farhop_day::standing(&table.entries), &demo(), at(50).add_s(seconds));
    assert_eq!(then(-1).thunder_until(), Some(at(50)));
    assert_eq!(then(0).thunder_until(), None);
}
