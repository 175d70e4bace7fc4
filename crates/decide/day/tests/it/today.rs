//! What went wrong, and how the day stands now: each test is named after what a user saw.

use crate::common::{Table, at, call, demo, demo_with_hello, sent, withdrawn, written};
use farhop_day::{
    AntennaHung, Begun, Event, FaultClass, FaultFound, FaultMended, Measures, Outcome, Phase, Spot, StationOff, Swr,
    Task, Thunder, Voltage, WhyAside, state,
};
use farhop_outing::antenna::LinkedDipole;
use farhop_outing::{AntennaKind, Outing};

fn at_site(id: &str) -> Event {
    Event::Moved(Spot::Site(id.to_owned()))
}

fn hung(antenna: &str, measures: Measures) -> Event {
    Event::Antenna(AntennaHung {
        antenna: antenna.to_owned(),
        how: String::new(),
        measures,
    })
}

fn swr_on(antenna: &str, swr: f64) -> Event {
    Event::Swr(Swr {
        freq_mhz: 7.05,
        antenna: Some(antenna.to_owned()),
        swr,
    })
}

#[test]
fn the_message_that_is_named_is_credited_whatever_the_order_and_the_lengths() {
    for first in [true, false] {
        let outing = demo_with_hello(first);
        let day = Table::of(&[(1, call("kowhai", sent(&[("arrived", 300, true)])))]).state(&outing, 5);
        assert_eq!(day.delivered(), ["arrived"]);
        assert!(day.left().contains(&"hello"), "{:?}", day.left());
    }
}

#[test]
fn bytes_without_a_name_credit_nothing_and_are_announced() {
    let outing = demo_with_hello(true);
    let nameless = Outcome::Delivered {
        message: None,
        bytes: 300,
    };
    let day = Table::of(&[(1, call("kowhai", nameless))]).state(&outing, 5);
    assert!(day.delivered().is_empty());
    assert_eq!(day.left().len(), outing.messages.len());
    let said = day.announcements().join("\n");
    assert!(
        said.contains("entry 1 says 300 bytes went, but not of which message")
            && said.contains("farhop log fix 1 call"),
        "{said}"
    );
    // The call was one: the station was there.
    let kowhai = outing.stations.iter().position(|s| s.id.as_str() == "kowhai").unwrap();
    assert!(day.stations[kowhai].heard().is_some());
}

#[test]
fn the_last_writing_of_a_message_wins() {
    let day = Table::of(&[(1, written("thanks", 250)), (2, written("thanks", 9_000))]).state(&demo(), 5);
    assert_eq!(day.message("thanks").unwrap().left_bytes(), 9_000);
    assert_eq!(day.outing.message("thanks").unwrap().size_bytes, 9_000);
    // One of the outing keeps its deadline and takes the new length.
    let day = Table::of(&[(1, written("arrived", 500))]).state(&demo(), 5);
    let (now, before) = (day.outing.message("arrived").unwrap(), demo());
    assert_eq!(now.size_bytes, 500);
    assert_eq!(now.deadline, before.message("arrived").unwrap().deadline);
}

#[test]
fn written_withdrawn_and_written_again_is_planned() {
    let mut table = Table::of(&[(1, written("thanks", 250)), (2, withdrawn("thanks"))]);
    let day = table.state(&demo(), 3);
    assert!(day.outing.message("thanks").is_none() && !day.left().contains(&"thanks"));
    assert_eq!(day.message("thanks").unwrap().phase, Phase::Withdrawn { entry: 2 });
    table.enter(3, written("thanks", 300));
    let day = table.state(&demo(), 4);
    assert!(day.left().contains(&"thanks"));
    let index = day.message("thanks").unwrap().index.unwrap();
    assert_eq!(day.outing.messages[index].id.as_str(), "thanks");
}

#[test]
fn a_move_takes_the_antenna_down() {
    let mut table = Table::of(&[(0, at_site("ridge")), (1, hung("link", Measures::default()))]);
    assert_eq!(table.state(&demo(), 2).antenna(), Some("link"));
    table.enter(3, at_site("hut"));
    assert_eq!(table.state(&demo(), 4).antenna(), None);
    table.enter(5, at_site("ridge"));
    assert_eq!(table.state(&demo(), 6).antenna(), None);
}

#[test]
fn saying_again_where_one_is_leaves_the_antenna_up() {
    // By the plan one is on the ridge in the afternoon; the entry only confirms it.
    let day = Table::of(&[(1, hung("link", Measures::default())), (2, at_site("ridge"))]).state(&demo(), 3);
    assert_eq!(day.antenna(), Some("link"));
    assert!(!day.place_assumed());
}

#[test]
fn where_the_plan_has_moved_on_the_antenna_hangs_no_more() {
    // The plan leaves the ridge at 19:00 local time.
    let table = Table::of(&[(1, hung("link", Measures::default()))]);
    assert_eq!(table.state(&demo(), 4 * 60).antenna(), Some("link"));
    let evening = table.state(&demo(), 6 * 60);
    assert!(evening.place_assumed() && evening.here().unwrap().id.as_str() == "hut");
    assert_eq!(evening.antenna(), None);
}

#[test]
fn an_swr_on_an_antenna_or_a_call_with_it_means_that_it_hangs() {
    assert_eq!(
        Table::of(&[(1, swr_on("loop", 1.4))]).state(&demo(), 2).antenna(),
        Some("loop")
    );
    let Event::Called(mut with) = call("larch", Outcome::NoAnswer) else {
        panic!()
    };
    with.antenna = Some("whip".to_owned());
    with.power_w = Some(2.5);
    let day = Table::of(&[(1, Event::Called(with)), (2, call("larch", Outcome::NoAnswer))]).state(&demo(), 3);
    assert_eq!(day.antenna(), Some("whip"));
    // Power that a call set stays set.
    assert_eq!(day.power_w.value, 2.5);
    assert_eq!(day.scenes[1].antenna.as_deref(), Some("whip"));
}

#[test]
fn a_logged_height_changes_the_antenna_that_is_solved() {
    let low = Measures {
        apex_height_m: Some(3.0),
        azimuth_deg: Some(60.0),
        ..Measures::default()
    };
    let ends = Measures {
        end_height_m: Some(1.0),
        ..Measures::default()
    };
    // At the hut the outing has an apex of 6.5 m and ends at 1.5 m.
    let day = Table::of(&[
        (0, at_site("hut")),
        (1, hung("link", low)),
        (2, hung("link", ends)),
        (3, swr_on("link", 1.5)),
    ])
    .state(&demo(), 4);
    let site = day.here().unwrap();
    let solved = day.outing.antennas_at(site).find(|a| a.id.as_str() == "link").unwrap();
    assert_eq!(*solved, day.hanging[0].antenna);
    assert_eq!(solved.azimuth_deg, Some(60.0));
    let AntennaKind::LinkedDipole(LinkedDipole {
        apex_height_m,
        end_height_m,
        ..
    }) = solved.kind
    else {
        panic!()
    };
    assert_eq!((apex_height_m, end_height_m), (3.0, 1.0));
}

#[test]
fn measures_that_cannot_be_are_announced_and_the_antenna_is_taken_as_planned() {
    let high = Measures {
        apex_height_m: Some(30.0),
        ..Measures::default()
    };
    let day = Table::of(&[(1, hung("link", high))]).state(&demo(), 2);
    assert!(matches!(day.aside[0].why, WhyAside::ImpossibleMeasures(_)));
    assert!(
        day.announcements()[0].contains("does not reach"),
        "{:?}",
        day.announcements()
    );
    assert_eq!(day.antenna(), Some("link"));
    assert_eq!(day.outing.sites, demo().sites);
}

#[test]
fn a_message_sent_in_part_is_left_with_the_rest() {
    let mut table = Table::of(&[(
        1,
        call("larch", sent(&[("stores", 500, false), ("arrived", 300, true)])),
    )]);
    let day = table.state(&demo(), 2);
    let stores = day.message("stores").unwrap();
    assert_eq!((stores.phase.clone(), stores.left_bytes()), (Phase::SentInPart, 700));
    assert_eq!(day.delivered(), ["arrived"]);
    table.enter(3, call("larch", sent(&[("stores", 700, true)])));
    let day = table.state(&demo(), 4);
    assert_eq!(day.delivered(), ["arrived", "stores"]);
    assert_eq!(day.message("stores").unwrap().entries, [1, 2]);
}

#[test]
fn parts_that_may_overlap_do_not_make_a_whole() {
    let half = |m| (m, call("larch", sent(&[("arrived", 150, false)])));
    let day = Table::of(&[half(1), half(2)]).state(&demo(), 3);
    assert_eq!(day.message("arrived").unwrap().phase, Phase::SentInPart);
    assert!(day.left().contains(&"arrived"));
}

#[test]
fn after_its_deadline_a_message_is_overdue_and_still_left() {
    // "arrived" must be through by 20:00 local time, six hours after the first entry.
    let day = Table::default().state(&demo(), 7 * 60);
    assert_eq!(day.overdue(), ["arrived"]);
    assert!(day.left().contains(&"arrived") && day.delivered().is_empty());
}

#[test]
fn a_message_that_is_not_ready_is_left_and_says_so() {
    let day = Table::default().state(&demo(), 0);
    assert!(matches!(day.message("repairs").unwrap().phase, Phase::NotReady { .. }));
    assert!(day.left().contains(&"repairs"));
}

/// The demo a week later: what everybody does with last week's file.
fn a_week_later() -> Outing {
    let mut parts = demo().into_parts();
    let week = |t: &mut farhop_earth::UtcTime| *t = t.add_s(7 * 86_400);
    week(&mut parts.header.start);
    week(&mut parts.header.end);
    for site in &mut parts.sites {
        site.from.iter_mut().chain(site.until.iter_mut()).for_each(week);
    }
    for message in &mut parts.messages {
        message.ready.iter_mut().for_each(week);
        week(&mut message.deadline);
    }
    Outing::new(parts).unwrap()
}

#[test]
fn last_weeks_journal_beside_this_weeks_file_credits_nothing() {
    let volts = Event::Voltage(Voltage { voltage_v: 10.9 });
    let mut table = Table::of(&[(1, call("larch", sent(&[("arrived", 300, true)]))), (2, volts)]);
    for minute in 3..20 {
        table.enter(minute, swr_on("link", 7.0));
    }
    let outing = a_week_later();
    let day = state(
        &farhop_day::standing(&table.entries),
        &outing,
        outing.header.start.add_s(7 * 3_600),
    );
    assert!(day.delivered().is_empty() && day.entries.is_empty() && day.hanging.is_empty());
    assert_eq!(day.readings, farhop_day::Readings::default());
    // Nineteen entries of one kind are one sentence.
    assert_eq!(day.announcements().len(), 1);
    assert!(day.announcements()[0].starts_with("19 entries (1 to 19) are more than a day outside"));
}

#[test]
fn another_outings_journal_credits_nothing() {
    let mut parts = demo().into_parts();
    for station in &mut parts.stations {
        station.id = farhop_outing::Id::new(&format!("other-{}", station.id)).unwrap();
        station.callsign = farhop_outing::Callsign::new(&format!("{}X", station.callsign)).unwrap();
    }
    for message in &mut parts.messages {
        message.to.clear();
    }
    let outing = Outing::new(parts).unwrap();
    let day = Table::of(&[(1, call("larch", sent(&[("arrived", 300, true)])))]).state(&outing, 5);
    assert!(day.delivered().is_empty());
    assert!(day.announcements()[0].contains("station larch, which this outing does not have"));
    // A message that nobody wrote credits nobody, though the call counts.
    let day = Table::of(&[(1, call("larch", sent(&[("gone", 10, true)])))]).state(&demo(), 5);
    assert_eq!(day.aside[0].why, WhyAside::UnknownMessage("gone".to_owned()));
    assert_eq!(day.entries.len(), 1);
}

#[test]
fn the_place_is_the_plans_until_an_entry_says_it() {
    let day = Table::default().state(&demo(), 0);
    assert_eq!(day.here().unwrap().id.as_str(), "ridge");
    assert!(day.place_assumed());
    let day = Table::of(&[(1, at_site("hut"))]).state(&demo(), 5);
    let stay = day.stay.unwrap();
    assert_eq!((stay.since, stay.assumed()), (at(1), false));
}

#[test]
fn a_task_begun_is_remembered_with_its_end_until_it_is_done() {
    let hang = Event::Begun(Begun {
        task: Task::Hang {
            antenna: "whip".to_owned(),
        },
        minutes: Some(20.0),
    });
    let mut table = Table::of(&[(0, hang)]);
    let task = table.state(&demo(), 5).task.unwrap();
    assert_eq!(task.end, Some(at(20)));
    // Past its end it is not done by itself: no entry says so.
    assert!(table.state(&demo(), 40).task.is_some());
    table.enter(41, hung("whip", Measures::default()));
    assert!(table.state(&demo(), 42).task.is_none());
    // A walk without minutes takes what the way takes (Naismith's rule), and ends with the arrival.
    let walk = Event::Begun(Begun {
        task: Task::Walk { site: "hut".to_owned() },
        minutes: None,
    });
    table.enter(50, walk);
    assert!(table.state(&demo(), 51).task.unwrap().end.unwrap() > at(50));
    table.enter(90, at_site("hut"));
    assert!(table.state(&demo(), 91).task.is_none());
}

#[test]
fn faults_thunder_and_stations_that_are_off() {
    let fault = Event::Fault(FaultFound {
        what: "coax".to_owned(),
        class: FaultClass::NothingOut,
    });
    let mended = Event::Mended(FaultMended {
        what: "Coax".to_owned(),
        class: None,
    });
    let off = Event::StationOff(StationOff {
        station: "larch".to_owned(),
    });
    let mut table = Table::of(&[(1, fault), (2, Event::Thunder(Thunder::default())), (3, off)]);
    let day = table.state(&demo(), 5);
    assert_eq!(day.open_faults().count(), 1);
    assert_eq!(day.thunder_until(), Some(at(32)));
    assert!(day.stations[0].off.is_some());
    assert_eq!(table.state(&demo(), 33).thunder_until(), None);
    table.enter(40, mended);
    table.enter(41, call("larch", Outcome::HeardButFailed));
    let day = table.state(&demo(), 42);
    assert_eq!(day.open_faults().count(), 0);
    // It showed itself after all.
    assert!(day.stations[0].off.is_none());
}

#[test]
fn the_newest_reading_of_each_band_stands() {
    let day = Table::of(&[(1, swr_on("link", 7.0)), (2, swr_on("link", 1.5))]).state(&demo(), 3);
    assert_eq!(day.readings.swr.len(), 1);
    assert_eq!(day.readings.swr[0].value.swr, 1.5);
}
