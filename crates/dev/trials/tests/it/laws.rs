//! What must hold for every chance, whatever the numbers.

use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_plan::analysis::analyse;
use farhop_plan::watch::Unwatched;
use farhop_store::kept::solutions::Solutions;
use farhop_trials::made_up::MadeUp;

fn plan(made_up: &MadeUp) -> (Outing, Analysis) {
    let outing = made_up.outing();
    let plan = analyse(&outing, &Solutions::of_user(), &Unwatched).unwrap();
    (outing, plan)
}

fn chance(made_up: &MadeUp) -> f64 {
    plan(made_up).1.bottom.unwrap().chance.chance.probability()
}

/// A middling case: far stations and a poor wire, enough room above and below for a change to show.
fn weak() -> MadeUp {
    MadeUp {
        power_w: 0.5,
        efficiency: 0.03,
        noise: "rural".to_owned(),
        stations: vec![
            (38.7, -8.9, 0.1, 0.15),
            (60.3, 25.2, 0.1, 0.15),
            (36.1, 28.2, 0.1, 0.15),
        ],
        ..MadeUp::default()
    }
}

#[test]
fn a_late_message_has_the_hours_it_has_and_nothing_is_spent_before() {
    // Ready in the evening, due in the morning: the same outing cut to those hours must give the same chance within two points.
    for (ready, deadline) in [
        ("2027-05-14T20:00", "2027-05-15T08:00"),
        ("2027-05-14T12:00", "2027-05-14T16:00"),
    ] {
        let message = |r: Option<&str>| {
            vec![(
                "late".to_owned(),
                400,
                r.map(str::to_owned),
                Some(deadline.to_owned()),
                "high".to_owned(),
            )]
        };
        let whole = chance(&MadeUp {
            messages: message(Some(ready)),
            ..weak()
        });
        let cut = chance(&MadeUp {
            start: ready.to_owned(),
            end: deadline.to_owned(),
            messages: message(None),
            ..weak()
        });
        println!("{ready} to {deadline}: whole {whole:.3}, cut {cut:.3}");
        assert!(whole > 0.1, "the hours before must not spend the message's own");
        // The first call of the cut outing waits for the antenna to be hung; the whole one hung it in the morning.
        assert!((whole - cut).abs() < 0.02, "whole {whole}, cut {cut}");
    }
}

#[test]
fn one_station_promises_no_more_than_it_is_on() {
    for off in [0.2, 0.6] {
        let (_, plan) = plan(&MadeUp {
            stations: vec![(47.8, 10.2, off, 0.1)],
            end: "2027-05-14T20:00".to_owned(),
            messages: vec![("only".to_owned(), 300, None, None, "high".to_owned())],
            ..MadeUp::default()
        });
        for order in &plan.messages[0].orders {
            let last = order.entries.last().unwrap().so_far.probability();
            println!("off {off}: order says {last:.3}");
            assert!(last <= 1.0 - off + 0.01);
        }
    }
}

#[test]
fn stations_that_are_off_by_themselves_stand_in_for_each_other() {
    // Open paths, free stations: four of them, each off on three days in ten, are all off on 0.3^4 of the days.
    for count in [2, 4] {
        let stations = (0..count)
            .map(|k| (47.6 + 0.2 * f64::from(k), 10.6 + 0.3 * f64::from(k), 0.3, 0.0))
            .collect();
        let (_, plan) = plan(&MadeUp {
            stations,
            power_w: 20.0,
            efficiency: 0.9,
            ..MadeUp::default()
        });
        let order = &plan.messages[0].orders[0];
        let so_far = order.entries.last().unwrap().so_far.probability();
        // Own faults hit all of them alike: they are no matter of the stations.
        let sound = 1.0
            - plan
                .days
                .days
                .faults
                .iter()
                .filter(|f| f.from_s < order.from.unix_s())
                .count() as f64
                / plan.days.days.count as f64;
        let closed_form = sound * (1.0 - 0.3f64.powi(count));
        println!("{count} stations: order {so_far:.3}, closed form {closed_form:.3}");
        assert!((so_far - closed_form).abs() < 0.02, "{so_far} {closed_form}");
    }
}

#[test]
fn more_power_never_hurts_and_more_noise_never_helps() {
    let soon = || MadeUp {
        messages: vec![(
            "soon".to_owned(),
            2_000,
            None,
            Some("2027-05-14T09:30".to_owned()),
            "high".to_owned(),
        )],
        ..weak()
    };
    let at = |power_w: f64| chance(&MadeUp { power_w, ..soon() });
    let by_power = [0.2, 1.0, 5.0].map(at);
    let in_noise = ["quiet-rural", "rural", "residential", "city"].map(|n| {
        chance(&MadeUp {
            noise: n.to_owned(),
            ..soon()
        })
    });
    println!("power {by_power:?}, noise {in_noise:?}");
    assert!(by_power.windows(2).all(|p| p[1] >= p[0] - 0.01), "{by_power:?}");
    assert!(in_noise.windows(2).all(|p| p[1] <= p[0] + 0.01), "{in_noise:?}");
    assert!(
        by_power[2] - by_power[0] > 0.05,
        "power must move the headline of a weak station: {by_power:?}"
    );
}

#[test]
fn longer_messages_and_stations_more_often_off_or_busy_never_help() {
    let with = |bytes: u64, off: f64, busy: f64| {
        chance(&MadeUp {
            stations: weak().stations.iter().map(|s| (s.0, s.1, off, busy)).collect(),
            messages: vec![(
                "only".to_owned(),
                bytes,
                None,
                Some("2027-05-14T14:00".to_owned()),
                "high".to_owned(),
            )],
            ..weak()
        })
    };
    let sizes = [300, 3_000, 30_000].map(|b| with(b, 0.1, 0.1));
    let offs = [0.0, 0.3, 0.8].map(|o| with(300, o, 0.1));
    let busies = [0.0, 0.4, 0.8].map(|b| with(300, 0.1, b));
    println!("sizes {sizes:?}, off {offs:?}, busy {busies:?}");
    for row in [sizes, offs, busies] {
        assert!(row.windows(2).all(|p| p[1] <= p[0] + 0.01), "{row:?}");
    }
    assert!(offs[0] > offs[2] && sizes[0] > sizes[2]);
}

#[test]
fn more_time_more_stations_and_more_days_never_hurt() {
    let until = |deadline: &str, end: &str| {
        chance(&MadeUp {
            end: end.to_owned(),
            messages: vec![(
                "only".to_owned(),
                300,
                None,
                Some(deadline.to_owned()),
                "high".to_owned(),
            )],
            ..weak()
        })
    };
    let times = [
        until("2027-05-14T11:00", "2027-05-15T18:00"),
        until("2027-05-14T18:00", "2027-05-15T18:00"),
        until("2027-05-15T18:00", "2027-05-15T18:00"),
        until("2027-05-17T18:00", "2027-05-17T18:00"),
    ];
    let stations = |count: usize| {
        chance(&MadeUp {
            stations: weak().stations[..count].to_vec(),
            ..weak()
        })
    };
    let more = [1, 2, 3].map(stations);
    println!("times {times:?}, stations {more:?}");
    assert!(times.windows(2).all(|p| p[1] >= p[0] - 0.01), "{times:?}");
    assert!(
        times[3] > times[0] + 0.02,
        "three nights must beat three hours on a weak link: {times:?}"
    );
    assert!(more.windows(2).all(|p| p[1] >= p[0] - 0.01), "{more:?}");
}

/// Battery and listening decide: small batteries, a message late on the second day.
fn hungry(batteries_ah: Vec<f64>, listen_h_per_day: f64) -> f64 {
    chance(&MadeUp {
        batteries_ah,
        listen_h_per_day,
        messages: vec![(
            "late".to_owned(),
            1_500,
            Some("2027-05-15T14:00".to_owned()),
            Some("2027-05-15T17:00".to_owned()),
            "high".to_owned(),
        )],
        ..MadeUp::default()
    })
}

#[test]
fn more_batteries_never_hurt_and_two_last_longer_than_one() {
    let by_number = [1, 2, 3].map(|count| hungry(vec![2.0; count], 16.0));
    let by_size = [0.6, 1.2, 2.4, 4.8].map(|ah| hungry(vec![ah], 16.0));
    println!("batteries {by_number:?}, sizes {by_size:?}");
    assert!(by_number.windows(2).all(|p| p[1] >= p[0] - 0.01), "{by_number:?}");
    assert!(by_size.windows(2).all(|p| p[1] >= p[0] - 0.01), "{by_size:?}");
    assert!(
        by_number[2] > by_number[0] + 0.3,
        "a spare battery must show where one does not last: {by_number:?}"
    );
}

#[test]
fn more_listening_never_helps_a_battery() {
    let by_hours = [0.0, 4.0, 8.0, 16.0, 24.0].map(|h| hungry(vec![1.5], h));
    println!("listening {by_hours:?}");
    assert!(by_hours.windows(2).all(|p| p[1] <= p[0] + 0.01), "{by_hours:?}");
    assert!(by_hours[4] < by_hours[0] - 0.3, "listening must cost: {by_hours:?}");
}

#[test]
fn the_bottom_line_is_the_message_due_first_among_the_most_urgent_and_inside_its_own_time() {
    let (outing, plan) = plan(&MadeUp {
        messages: vec![
            (
                "low".to_owned(),
                200,
                None,
                Some("2027-05-14T10:00".to_owned()),
                "low".to_owned(),
            ),
            (
                "later".to_owned(),
                300,
                None,
                Some("2027-05-15T12:00".to_owned()),
                "high".to_owned(),
            ),
            (
                "sooner".to_owned(),
                300,
                Some("2027-05-14T11:30".to_owned()),
                Some("2027-05-14T20:00".to_owned()),
                "high".to_owned(),
            ),
        ],
        ..MadeUp::default()
    });
    let bottom = plan.bottom.unwrap();
    assert_eq!(outing.messages[bottom.message].id.as_str(), "sooner");
    for send in plan.sends.iter() {
        for m in &send.messages {
            let of = &outing.messages[m.message];
            assert!(send.start < of.deadline && of.ready.is_none_or(|r| r <= send.start));
            let left_min = (of.deadline.unix_s() - send.start.unix_s()) / 60;
            assert!(
                left_min > 2 || m.chance.probability() < 0.5,
                "a call two minutes before the deadline"
            );
        }
    }
    let first = plan.messages[2].sends.first().map(|s| plan.sends[*s].start).unwrap();
    let ready = outing.messages[2].ready.unwrap();
    assert!(
        first.unix_s() - ready.unix_s() <= 2 * 3_600,
        "a high message is sent soon after it is ready"
    );
}

#[test]
fn the_same_outing_gives_the_same_plan() {
    let (a, b) = (plan(&weak()).1, plan(&weak()).1);
    assert_eq!(a.sends, b.sends);
    assert_eq!(a.messages, b.messages);
    assert_eq!(a.hours, b.hours);
}
