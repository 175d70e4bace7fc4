//! Which antennas hang, since when, and with which measures.

use crate::common::{Table, at, call, demo};
use farhop_day::{
    AntennaDown, AntennaHung, Begun, Event, HangError, Measures, Outcome, PowerOut, Source, Spot, Swr, Task,
    TunerRefused, hang_as, measured,
};
use farhop_outing::antenna::EndFed;
use farhop_outing::{AntennaKind, EndFedShape};

fn hung(antenna: &str, how: &str, measures: Measures) -> Event {
    Event::Antenna(AntennaHung {
        antenna: antenna.to_owned(),
        how: how.to_owned(),
        measures,
    })
}

fn down(antenna: &str) -> Event {
    Event::Down(AntennaDown {
        antenna: antenna.to_owned(),
    })
}

fn called_with(antenna: &str) -> Event {
    let Event::Called(of) = call("larch", Outcome::NoAnswer) else {
        panic!()
    };
    Event::Called(farhop_day::Call {
        antenna: Some(antenna.to_owned()),
        ..of
    })
}

fn names(day: &farhop_day::DayState) -> Vec<&str> {
    day.hanging.iter().map(|h| h.antenna.id.as_str()).collect()
}

#[test]
fn whatever_names_an_antenna_in_use_says_that_it_hangs() {
    let antenna = Some("loop".to_owned());
    let (freq_mhz, swr) = (7.05, 1.4);
    let events = [
        called_with("loop"),
        Event::Swr(Swr {
            freq_mhz,
            swr,
            antenna: antenna.clone(),
        }),
        Event::PowerOut(PowerOut {
            power_w: 4.0,
            freq_mhz: None,
            swr: None,
            antenna: antenna.clone(),
        }),
        Event::TunerRefused(TunerRefused { freq_mhz, antenna }),
    ];
    for event in events {
        let hang = Event::Begun(Begun {
            task: Task::Hang {
                antenna: "loop".to_owned(),
            },
            minutes: Some(60.0),
        });
        let day = Table::of(&[(0, hang), (1, event.clone())]).state(&demo(), 2);
        assert_eq!(names(&day), ["loop"], "{event:?}");
        assert!(day.task.is_none(), "what is in use has been hung: {event:?}");
        let one = &day.hanging[0];
        assert_eq!((one.entry, one.since, one.measures), (2, at(1), Measures::default()));
    }
}

#[test]
fn one_comes_down_and_the_others_stay_up_the_one_spoken_of_last_first() {
    let nothing = Measures::default;
    let mut table = Table::of(&[(1, hung("whip", "", nothing())), (2, hung("loop", "", nothing()))]);
    assert_eq!(names(&table.state(&demo(), 3)), ["loop", "whip"]);
    table.enter(3, called_with("whip"));
    let day = table.state(&demo(), 4);
    assert_eq!(names(&day), ["whip", "loop"]);
    // In use again: since then it has hung, and the newest entry speaks of it.
    assert_eq!((day.hanging[0].since, day.hanging[0].entry), (at(1), 3));
    table.enter(5, down("whip"));
    assert_eq!(names(&table.state(&demo(), 6)), ["loop"]);
    table.enter(7, down("loop"));
    assert!(names(&table.state(&demo(), 8)).is_empty());
}

#[test]
fn what_was_said_of_an_antenna_stays_until_it_is_said_anew() {
    let azimuth = |azimuth_deg| Measures {
        azimuth_deg: Some(azimuth_deg),
        ..Measures::default()
    };
    let mut table = Table::of(&[
        (1, hung("link", "from the pine", azimuth(60.0))),
        (2, hung("link", "", azimuth(75.0))),
        (3, called_with("link")),
    ]);
    let day = table.state(&demo(), 4);
    let one = &day.hanging[0];
    assert_eq!(
        (one.how.as_str(), one.measures.azimuth_deg),
        ("from the pine", Some(75.0))
    );
    assert_eq!((one.since, one.entry), (at(1), 3));
    table.enter(5, hung("link", "from the rock", Measures::default()));
    let day = table.state(&demo(), 6);
    let one = &day.hanging[0];
    assert_eq!(
        (one.how.as_str(), one.measures.azimuth_deg),
        ("from the rock", Some(75.0))
    );
    // After it was down nothing of it is known.
    table.enter(7, down("link"));
    table.enter(8, hung("link", "", Measures::default()));
    let day = table.state(&demo(), 9);
    let one = &day.hanging[0];
    assert_eq!(
        (one.how.as_str(), one.measures, one.since),
        ("", Measures::default(), at(8))
    );
}

#[test]
fn the_flaw_of_a_measure_is_that_of_the_entry_that_gave_it() {
    let high = Measures {
        apex_height_m: Some(30.0),
        ..Measures::default()
    };
    let day = Table::of(&[(1, hung("link", "", high)), (2, called_with("link"))]).state(&demo(), 3);
    assert_eq!(day.aside.len(), 1);
    assert_eq!(day.aside[0].entry, 1);
}

#[test]
fn an_antenna_hangs_by_its_measures_at_the_site_or_in_the_kit() {
    let outing = demo();
    let site = outing.sites.iter().position(|s| s.id.as_str() == "hut");
    let azimuth = Measures {
        azimuth_deg: Some(33.0),
        ..Measures::default()
    };
    let (at_hut, antenna) = hang_as(&outing, site, "link", &azimuth).unwrap();
    assert_eq!(antenna.azimuth_deg, Some(33.0));
    let of = |o: &farhop_outing::Outing, s: usize| {
        let site = &o.sites[s];
        let link = o.antennas_at(site).find(|a| a.id.as_str() == "link").cloned();
        link.map(|a| a.azimuth_deg)
    };
    assert_eq!(of(&at_hut, site.unwrap()), Some(Some(33.0)));
    assert_eq!(at_hut.kit, outing.kit, "elsewhere it is as it was");
    let (away, _) = hang_as(&outing, None, "link", &azimuth).unwrap();
    assert_eq!(away.kit.antenna("link").unwrap().azimuth_deg, Some(33.0));
    assert_eq!(away.sites, outing.sites);
    assert!(matches!(
        hang_as(&outing, site, "gone", &azimuth),
        Err(HangError::NoSuchAntenna(id)) if id == "gone"
    ));
    let low = Measures {
        apex_height_m: Some(-3.0),
        ..Measures::default()
    };
    assert!(matches!(hang_as(&outing, site, "link", &low), Err(HangError::Measures(why)) if !why.is_empty()));
}

#[test]
fn measures_that_a_kind_does_not_have_are_named() {
    let all = Measures {
        apex_height_m: Some(6.0),
        end_height_m: Some(1.0),
        height_m: Some(2.0),
        feed_height_m: Some(1.0),
        far_height_m: Some(5.0),
        corner_height_m: Some(4.0),
        base_height_m: Some(0.5),
        length_m: Some(20.0),
        azimuth_deg: Some(10.0),
    };
    // The lengths of a linked dipole are a list, not one measure.
    let kind = |id: &str| -> AntennaKind { demo().kit.antenna(id).unwrap().kind.clone() };
    assert_eq!(
        all.foreign_to(&kind("link")),
        ["height", "feed", "far end", "corner", "base", "length"]
    );
    assert_eq!(Measures::default().foreign_to(&kind("link")), Vec::<&str>::new());
    let only = Measures {
        corner_height_m: Some(4.0),
        ..Measures::default()
    };
    assert_eq!(only.foreign_to(&kind("link")), ["corner"]);
    assert!(!all.is_empty() && Measures::default().is_empty());
    // What is said anew counts; what is not said stays.
    assert_eq!(only.or(all), all);
    assert_eq!(Measures::default().or(all), all);
    let other = Measures {
        corner_height_m: Some(9.0),
        ..Measures::default()
    };
    assert_eq!(other.or(all).corner_height_m, Some(9.0));
}

#[test]
fn the_antenna_for_a_frequency_is_one_that_hangs_and_is_meant_for_it() {
    let nothing = Measures::default;
    let table = Table::of(&[(1, hung("whip", "", nothing())), (2, hung("loop", "", nothing()))]);
    let day = table.state(&demo(), 3);
    let of = |freq_mhz: f64| {
        let known = day.antenna_for(freq_mhz).unwrap();
        (known.value, known.source)
    };
    // The loop begins at 7.05 MHz; on 3.6 MHz nothing serves, and the one spoken of last is named.
    assert_eq!(of(7.05), ("loop".to_owned(), Source::Entry(2)));
    assert_eq!(of(5.36), ("whip".to_owned(), Source::Entry(1)));
    assert_eq!(of(3.6), ("loop".to_owned(), Source::Entry(2)));
    // Where none hangs it is the first at hand that serves, by the outing.
    let day = Table::of(&[(1, Event::Moved(Spot::Site("hut".to_owned())))]).state(&demo(), 2);
    let known = day.antenna_for(5.36).unwrap();
    assert_eq!(known.source, Source::Outing);
    assert!(day.outing.kit.antenna(&known.value).unwrap().serves(5.36));
    assert!(day.antenna_for(28.0).is_none());
}

#[test]
fn the_corner_of_a_wire_without_one_goes_with_its_far_end() {
    let end_fed = |corner_height_m: f64| {
        let mut antenna = demo().kit.antenna("link").unwrap().clone();
        antenna.kind = AntennaKind::EndFed(EndFed {
            wire_m: 20.0,
            shape: EndFedShape::Sloping,
            feed_height_m: 1.0,
            far_height_m: 6.0,
            corner_height_m,
            counterpoise_m: 5.0,
            transformer_ratio: 9.0,
        });
        antenna
    };
    let heights = |corner_m: f64, said: &Measures| {
        let AntennaKind::EndFed(wire) = measured(&end_fed(corner_m), said).kind else {
            panic!()
        };
        (wire.feed_height_m, wire.far_height_m, wire.corner_height_m)
    };
    let far = Measures {
        far_height_m: Some(8.0),
        ..Measures::default()
    };
    // It was as high as the far end, so it goes with it; one with a height of its own, be it that of the feed, stays.
    assert_eq!(heights(6.0, &far), (1.0, 8.0, 8.0));
    assert_eq!(heights(4.0, &far), (1.0, 8.0, 4.0));
    assert_eq!(heights(1.0, &far), (1.0, 8.0, 1.0));
    let both = Measures {
        corner_height_m: Some(5.0),
        ..far
    };
    assert_eq!(heights(6.0, &both), (1.0, 8.0, 5.0));
    assert_eq!(heights(6.0, &Measures::default()), (1.0, 6.0, 6.0));
}
