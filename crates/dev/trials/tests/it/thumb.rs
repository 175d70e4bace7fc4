//! The schedule against three rules of thumb, on days that none of them was made with: the order of the plan again and again, the best
//! hours first, and all stations in turn. What counts is the weight of the messages that get through, and the calls and energy for it.

use farhop_days::{DrawAsk, DrawnDays, WeighedDays};
use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_plan::analysis::analyse;
use farhop_plan::schedule::{Board, EnergyLimit, Offer, Pending, Scene, SceneParts, search};
use farhop_plan::watch::Unwatched;
use farhop_store::kept::solutions::Solutions;
use farhop_trials::made_up::MadeUp;

/// Days of another seed.
const DAYS: usize = 2_048;
const SEED: u64 = 77;

/// What a rule brings.
#[derive(Clone, Copy, Debug)]
struct Brought {
    /// Share of the messages' weight that gets through (dimensionless).
    weight: f64,
    /// Calls that are expected to be made.
    calls: f64,
    /// Energy that they are expected to take, Wh.
    energy_wh: f64,
}

struct Trial<'a> {
    scene: Scene<'a>,
    offers: Vec<Offer>,
}

impl Trial<'_> {
    /// Plays calls in order of time, until so many are expected to have been made.
    fn play(&self, calls: &[(Offer, UtcTime)], most: f64) -> Brought {
        let mut board = Board::new(&self.scene);
        let made = |board: &Board<'_, '_>| -> f64 { (0..board.blocks.len()).map(|b| board.happens(b)).sum() };
        for (offer, start) in calls {
            if made(&board) >= most {
                break;
            }
            let busy = board.blocks.last().is_some_and(|b| b.end > *start);
            if let Some(added) = board.look(offer, *start).filter(|_| !busy) {
                board.add(added);
            }
        }
        let weight = |p: usize| self.scene.pending[p].weight * board.chance(p);
        let total: f64 = self.scene.pending.iter().map(|p| p.weight).sum();
        Brought {
            weight: (0..self.scene.pending.len()).map(weight).sum::<f64>() / total,
            calls: made(&board),
            energy_wh: board.expected_wh(),
        }
    }

    fn of(&self, station: usize, channel: Option<usize>, at: UtcTime) -> Option<Offer> {
        let fits = |o: &&Offer| {
            let route = self.scene.responses[o.response].route;
            o.opens <= at && at < o.closes && route.station == station && channel.is_none_or(|c| c == route.channel)
        };
        self.offers.iter().find(fits).cloned()
    }

    /// The order of the plan, entry after entry, every half hour, again and again.
    fn plan_order(&self, plan: &Analysis) -> Vec<(Offer, UtcTime)> {
        let lead = plan.bottom.unwrap().message;
        let entries: Vec<_> = plan.messages[lead]
            .orders
            .iter()
            .flat_map(|o| o.entries.clone())
            .collect();
        self.half_hours(|k, at| {
            let entry = entries.get(k % entries.len().max(1))?;
            self.of(entry.route.station, Some(entry.route.channel), at)
        })
    }

    /// The hours with the best chance, in order of their chance, as many as the plan has calls.
    fn best_hours(&self, plan: &Analysis) -> Vec<(Offer, UtcTime)> {
        let mut hours = plan.hours.clone();
        hours.sort_by(|a, b| b.message.probability().total_cmp(&a.message.probability()));
        let mut calls: Vec<(Offer, UtcTime)> = hours
            .iter()
            .filter_map(|h| {
                let at = h.at.add_s(-1_500).max(self.scene.stays[0].from.add_s(900));
                Some((self.of(h.route.station, Some(h.route.channel), at)?, at))
            })
            .take(plan.sends.len())
            .collect();
        calls.sort_by_key(|(_, at)| *at);
        calls
    }

    /// All stations in turn, on the channel that the file names first, every half hour.
    fn all_in_turn(&self) -> Vec<(Offer, UtcTime)> {
        let stations = self.scene.outing.stations.len();
        self.half_hours(|k, at| self.of(k % stations, None, at))
    }

    fn half_hours(&self, pick: impl Fn(usize, UtcTime) -> Option<Offer>) -> Vec<(Offer, UtcTime)> {
        let stay = self.scene.stays[0];
        let mut calls = Vec::new();
        let (mut at, mut k) = (stay.from.add_s(900), 0);
        while at < stay.until {
            calls.extend(pick(k, at).map(|o| (o, at)));
            k += 1;
            at = at.add_s(1_800);
        }
        calls
    }
}

/// Ours, then each rule; with `fair` the rules make no more calls than ours is expected to.
fn try_all(outing: &Outing, fair: bool) -> [Brought; 4] {
    let plan = analyse(outing, &Solutions::of_user(), &Unwatched).unwrap();
    let days = WeighedDays::prior(DrawnDays::new(&plan.days.days.axes, &DrawAsk::of(DAYS, SEED)));
    let pending = Pending::all(outing, outing.header.start);
    let on = |days| {
        Scene::new(SceneParts {
            outing,
            days,
            tables: &plan.tables,
            responses: &plan.responses,
            stays: &plan.stays,
            now: outing.header.start,
            pending: &pending,
            energy: EnergyLimit::NONE,
            hanging: None,
            busy_until: outing.header.start,
        })
    };
    // The schedule was searched on the plan's own days, the trial is on others.
    let found = search(&on(&plan.days));
    let offers: Vec<Offer> = found.stays.iter().flat_map(|s| s.offers.iter().cloned()).collect();
    let ours: Vec<(Offer, UtcTime)> = found.blocks.iter().map(|b| (b.offer.clone(), b.start)).collect();
    let trial = Trial {
        scene: on(&days),
        offers,
    };
    let ours = trial.play(&ours, f64::INFINITY);
    let most = if fair { ours.calls } else { f64::INFINITY };
    [
        ours,
        trial.play(&trial.plan_order(&plan), most),
        trial.play(&trial.best_hours(&plan), most),
        trial.play(&trial.all_in_turn(), most),
    ]
}

const NAMES: [&str; 3] = ["the order again and again", "the best hours first", "all in turn"];

fn expected() -> MadeUp {
    let mut made_up = MadeUp::default();
    made_up.messages.push((
        "evening".to_owned(),
        600,
        Some("2027-05-14T18:00".to_owned()),
        Some("2027-05-15T09:00".to_owned()),
        "normal".to_owned(),
    ));
    made_up
}

/// Somebody who calls every half hour until everything is through gets there too, with more calls and more energy. The schedule leaves out
/// calls that bring less than their effort: that may cost half a point of weight, and no more.
#[test]
fn on_expected_days_no_rule_of_thumb_brings_more_or_costs_less() {
    let [ours, rules @ ..] = try_all(&expected().outing(), false);
    println!("ours {ours:?}");
    for (name, rule) in NAMES.iter().zip(rules) {
        println!("{name} {rule:?}");
        assert!(ours.weight >= rule.weight - 0.005, "{name}: {rule:?}, ours {ours:?}");
        let cheaper = ours.calls <= rule.calls && ours.energy_wh <= rule.energy_wh;
        assert!(
            cheaper || ours.weight > rule.weight + 0.1,
            "{name}: {rule:?}, ours {ours:?}"
        );
    }
}

#[test]
fn on_hard_days_a_tenth_of_what_is_lost_is_saved_with_as_many_calls() {
    let far = vec![
        (38.7, -8.9, 0.1, 0.15),
        (60.3, 25.2, 0.1, 0.15),
        (47.8, 10.2, 0.9, 0.15),
    ];
    let cases = [
        (
            "one watt",
            MadeUp {
                power_w: 1.0,
                efficiency: 0.1,
                ..expected()
            },
        ),
        (
            "K 6",
            MadeUp {
                k_index: 6.0,
                efficiency: 0.1,
                stations: far.clone(),
                ..expected()
            },
        ),
        (
            "a gateway off",
            MadeUp {
                stations: far,
                efficiency: 0.2,
                ..expected()
            },
        ),
    ];
    for (case, made_up) in cases {
        let [ours, rules @ ..] = try_all(&made_up.outing(), true);
        println!("{case}: ours {ours:?}");
        for (name, rule) in NAMES.iter().zip(rules) {
            let saved = (ours.weight - rule.weight) / (1.0 - rule.weight).max(1e-9);
            println!("{case}: {name} {rule:?}, saved {saved:.3}");
            assert!(
                saved >= 0.10,
                "{case}, {name}: saves {saved:.3}: {rule:?}, ours {ours:?}"
            );
        }
    }
}
