//! What calls and listening say of a station, and which entries name something that the outing does not have.

use crate::common::{Table, at, call, demo};
use farhop_day::{
    AntennaHung, BandDead, Begun, BusyWhat, Event, Heard, HeardWho, Measures, Outcome, Received, Session, Sign, Silent,
    Spot, StationBusy, StationOff, Strength, Task, WhyAside,
};

fn delivered() -> Outcome {
    Outcome::Delivered {
        message: None,
        bytes: 9,
    }
}

fn busy(what: Option<BusyWhat>) -> Outcome {
    Outcome::Busy { what }
}

#[test]
fn how_a_call_ended_says_whether_there_was_a_link_and_whether_anybody_was_there() {
    // Outcome, a link, nobody answered and nothing says why, the station showed itself.
    let cases = [
        (Outcome::NoAnswer, false, true, false),
        (busy(None), false, false, false),
        (busy(Some(BusyWhat::Channel)), false, false, false),
        (busy(Some(BusyWhat::Gateway)), false, false, true),
        (Outcome::HeardButFailed, false, false, true),
        (Outcome::Linked, true, false, true),
        (Outcome::Session(Session::default()), true, false, true),
        (delivered(), true, false, true),
    ];
    for (outcome, linked, silent, shown) in cases {
        assert_eq!((outcome.linked(), outcome.silent()), (linked, silent), "{outcome:?}");
        let off = Event::StationOff(StationOff {
            station: "larch".to_owned(),
        });
        let day = Table::of(&[(1, off), (2, call("larch", outcome.clone()))]).state(&demo(), 3);
        let larch = &day.stations[0];
        assert_eq!(larch.heard().is_some(), shown, "{outcome:?}");
        assert_eq!(
            larch.off.is_none(),
            shown,
            "a station that showed itself is not off: {outcome:?}"
        );
        assert_eq!(larch.silent().is_some(), silent, "{outcome:?}");
        assert_eq!(
            larch.busy().is_some(),
            matches!(outcome, Outcome::Busy { .. }),
            "{outcome:?}"
        );
    }
}

fn heard(who: HeardWho) -> Event {
    Event::Heard(Heard {
        who,
        freq_mhz: 7.0495,
        strength: Some(Strength::Snr { snr_db: 6.0 }),
    })
}

fn listened(station: &str) -> Event {
    Event::Silent(Silent {
        station: station.to_owned(),
        freq_mhz: 7.0495,
        minutes: Some(5.0),
    })
}

fn found_busy(station: &str, what: Option<BusyWhat>) -> Event {
    Event::Busy(StationBusy {
        station: station.to_owned(),
        freq_mhz: 7.0495,
        what,
    })
}

#[test]
fn listening_says_of_a_station_what_was_heard_and_no_more() {
    let larch = || HeardWho::Station("larch".to_owned());
    let day = Table::of(&[
        (1, listened("larch")),
        (2, found_busy("larch", None)),
        (3, heard(larch())),
        (4, heard(HeardWho::Other("a broadcast".to_owned()))),
    ])
    .state(&demo(), 5);
    let seen: Vec<&Sign> = day.stations[0].seen.iter().map(|s| &s.value.what).collect();
    assert_eq!(
        seen,
        [
            &Sign::Silent,
            &Sign::Busy(None),
            &Sign::Heard(Some(Strength::Snr { snr_db: 6.0 }))
        ]
    );
    let entry = |of: Option<&farhop_day::Noted<farhop_day::Sighting>>| of.map(|n| n.entry);
    let larch = &day.stations[0];
    assert_eq!(
        (entry(larch.silent()), entry(larch.busy()), entry(larch.heard())),
        (Some(1), Some(2), Some(3))
    );
    assert!(day.stations[1..].iter().all(|s| s.seen.is_empty()));
    // A gateway that works with somebody else is on the air; a channel with somebody else on it says nothing of the gateway.
    for (what, on_air) in [
        (Some(BusyWhat::Gateway), true),
        (Some(BusyWhat::Channel), false),
        (None, false),
    ] {
        assert_eq!(Sign::Busy(what).on_air(), on_air, "{what:?}");
    }
}

#[test]
fn a_band_that_was_dead_is_so_until_a_station_shows_itself_on_it() {
    let dead = |freq_mhz| Event::BandDead(BandDead { freq_mhz });
    let mut table = Table::of(&[(1, dead(7.05)), (2, dead(10.14))]);
    let bands = |table: &Table| -> Vec<f64> {
        let day = table.state(&demo(), 9);
        day.readings.dead_bands.iter().map(|d| d.value).collect()
    };
    assert_eq!(bands(&table), [7.05, 10.14]);
    table.enter(3, listened("larch"));
    assert_eq!(bands(&table), [7.05, 10.14]);
    table.enter(4, heard(HeardWho::Station("larch".to_owned())));
    assert_eq!(bands(&table), [10.14]);
}

#[test]
fn a_frequency_is_the_nearest_channel_within_a_kilohertz_and_a_half() {
    // Larch has 3.5915, 5.3560 and 7.0495 MHz.
    let index = |freq_mhz: f64| {
        let Event::Called(of) = call("larch", Outcome::NoAnswer) else {
            panic!()
        };
        let event = Event::Called(farhop_day::Call { freq_mhz, ..of });
        let day = Table::of(&[(1, event)]).state(&demo(), 2);
        day.stations[0].seen[0].value.channel
    };
    let cases = [
        (3.5915, Some(0)),
        (3.5929, Some(0)),
        (5.3546, Some(1)),
        (7.0509, Some(2)),
        (7.0495, Some(2)),
        (7.0512, None),
        (7.0478, None),
        (14.1, None),
    ];
    for (freq_mhz, channel) in cases {
        assert_eq!(index(freq_mhz), channel, "{freq_mhz} MHz");
    }
}

#[test]
fn what_came_over_a_link_came_from_the_station_that_was_called_unless_another_is_named() {
    let message = |station: Option<&str>| Received {
        words: "two lines".to_owned(),
        station: station.map(str::to_owned),
        bytes: Some(80),
    };
    let session = Outcome::Session(Session {
        sent: Vec::new(),
        received: vec![message(None), message(Some("beech"))],
    });
    let alone = Event::Received(message(None));
    let day = Table::of(&[(1, call("larch", session)), (2, alone)]).state(&demo(), 3);
    let from: Vec<(u64, Option<&str>)> = day
        .received
        .iter()
        .map(|n| (n.entry, n.value.station.as_deref()))
        .collect();
    assert_eq!(from, [(1, Some("larch")), (1, Some("beech")), (2, None)]);
    assert_eq!(day.received[0].at, at(1));
}

#[test]
fn an_entry_about_what_the_outing_does_not_have_counts_for_nothing() {
    let gone = || "gone".to_owned();
    let task = |task| Event::Begun(Begun { task, minutes: None });
    let station = || WhyAside::UnknownStation(gone());
    let cases = [
        (call("gone", Outcome::Linked), station()),
        (heard(HeardWho::Station(gone())), station()),
        (listened("gone"), station()),
        (found_busy("gone", None), station()),
        (Event::StationOff(StationOff { station: gone() }), station()),
        (Event::Moved(Spot::Site(gone())), WhyAside::UnknownSite(gone())),
        (task(Task::Walk { site: gone() }), WhyAside::UnknownSite(gone())),
        (task(Task::Hang { antenna: gone() }), WhyAside::UnknownAntenna(gone())),
        (
            Event::Antenna(AntennaHung {
                antenna: gone(),
                how: String::new(),
                measures: Measures::default(),
            }),
            WhyAside::UnknownAntenna(gone()),
        ),
    ];
    for (event, why) in cases {
        let day = Table::of(&[(1, event.clone())]).state(&demo(), 2);
        let nothing = Table::default().state(&demo(), 2);
        assert_eq!(day.aside.len(), 1, "{event:?}");
        assert_eq!(day.aside[0].why, why, "{event:?}");
        assert!(day.entries.is_empty() && day.scenes.is_empty(), "{event:?}");
        assert_eq!(
            (day.stay, day.task, day.hanging),
            (nothing.stay, nothing.task, nothing.hanging),
            "{event:?}"
        );
        // And what it is about, and which entry, is announced.
        let said = farhop_day::SetAside { entry: 1, why }.words(&[]);
        assert!(said.starts_with("entry 1 ") && said.contains(" gone,"), "{said}");
    }
    // Somebody else's antenna, or somebody else who was heard, is nobody's mistake.
    let with = |antenna: &str| {
        let Event::Called(of) = call("larch", Outcome::NoAnswer) else {
            panic!()
        };
        Event::Called(farhop_day::Call {
            antenna: Some(antenna.to_owned()),
            ..of
        })
    };
    let day = Table::of(&[(1, with("borrowed")), (2, heard(HeardWho::Other(gone())))]).state(&demo(), 3);
    assert!(day.aside.is_empty() && day.entries.len() == 2);
    assert_eq!(
        (day.antenna(), day.scenes[0].antenna.as_deref()),
        (None, Some("borrowed"))
    );
}

#[test]
fn entries_count_from_a_day_before_to_a_day_after_and_up_to_the_second_asked_for() {
    let outing = demo();
    let minute_of = |instant: farhop_earth::UtcTime, shift_s: i64| instant.add_s(shift_s);
    let day_s = 86_400;
    let (start, end) = (outing.header.start, outing.header.end);
    let cases = [
        (minute_of(start, -day_s - 1), false),
        (minute_of(start, -day_s), true),
        (minute_of(end, day_s), true),
        (minute_of(end, day_s + 1), false),
    ];
    for (instant, counts) in cases {
        let mut table = Table::default();
        table.enter(0, heard(HeardWho::Other("time".to_owned())));
        let farhop_day::Body::Account(account) = &mut table.entries[0].body else {
            panic!()
        };
        account.at = instant;
        let standing = farhop_day::standing(&table.entries);
        let now = end.add_s(3 * day_s);
        let day = farhop_day::state(&standing, &outing, now);
        assert_eq!(day.entries.len(), usize::from(counts), "{instant}");
        assert_eq!(day.aside.is_empty(), counts, "{instant}");
        // Of that very second it counts, a second earlier it has not happened.
        let then = farhop_day::state(&standing, &outing, instant);
        assert_eq!(then.entries.len(), usize::from(counts), "{instant}");
        let before = farhop_day::state(&standing, &outing, instant.add_s(-1));
        assert!(before.entries.is_empty(), "{instant}");
    }
}

#[test]
fn two_entries_of_other_days_are_told_one_by_one_and_three_in_one_sentence() {
    let other = |who: &str| heard(HeardWho::Other(who.to_owned()));
    let far = -40 * 24 * 60;
    let mut table = Table::of(&[(far, other("a")), (far + 1, other("b")), (1, listened("gone"))]);
    let said = table.state(&demo(), 5).announcements();
    assert_eq!(said.len(), 3, "{said:?}");
    assert!(said[0].starts_with("entry 1 is more than a day outside") && said[1].starts_with("entry 2 is"));
    table.enter(far + 2, other("c"));
    let said = table.state(&demo(), 5).announcements();
    assert_eq!(said.len(), 2, "{said:?}");
    assert!(
        said[0].starts_with("3 entries (1 to 4) are more than a day outside"),
        "{said:?}"
    );
    assert!(said[1].starts_with("entry 3 is about station gone"), "{said:?}");
}
