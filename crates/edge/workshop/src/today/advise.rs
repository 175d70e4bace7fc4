//! The next step.

use farhop_day::walk_min;
use farhop_earth::UtcTime;
use farhop_plan::belief::{Belief, DAYS, Response};
use farhop_plan::next::{Advice, Ask, Candidate, Choice, MoveTo, candidates, choose, choose_with};
use farhop_plan::survey::stay;

use crate::day::Hill;
use crate::solutions::Solutions;
use crate::today::seen::{evidence, read};
use crate::today::signs::{OwnFault, own_faults, signs};
use crate::today::{Budget, Sign, Today};

/// Hours that are looked ahead.
const AHEAD_H: i64 = 10;
/// Another site must be better by this share of the messages' worth to be advised (dimensionless; a judgement): walking costs.
const WORTH_A_WALK: f64 = 0.10;
/// Days of the belief that another site is looked at on.
const ROUGH_DAYS: usize = 250;
/// Hours at another site that are looked at: they say what it is worth.
const HOURS_ELSEWHERE: i64 = 2;
/// Seed of the belief: the same journal gives the same advice.
const SEED: u64 = 2_026;
/// An own station whose readings are far off may be worse than computed by much more, dB (a judgement).
const DOUBTED_SD_DB: f64 = 7.0;

/// What is asked.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct NextAsk {
    /// Minutes that are left for calling; none means to the end of the outing.
    pub minutes: Option<f64>,
}

/// Another site, looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elsewhere {
    /// Index of the site.
    pub site: usize,
    /// When one would be there.
    pub arrive: UtcTime,
    /// Expected share of the messages' worth from there (dimensionless).
    pub value: f64,
}

/// The advice with all that it rests on.
pub struct NextStep {
    /// The day.
    pub today: Today,
    /// The tries that are possible here.
    pub candidates: Vec<Candidate>,
    /// What to do.
    pub choice: Choice,
    /// The belief.
    pub belief: Belief,
    /// Chances of the tries before anything was seen today, by candidate (dimensionless).
    pub forecast_chances: Vec<f64>,
    /// Readings far from their forecast.
    pub signs: Vec<Sign>,
    /// What readings say about faults of the own station, by class.
    pub own_faults: Vec<OwnFault>,
    /// Energy for calls.
    pub budget: Budget,
    /// Other sites, as far as they were looked at.
    pub elsewhere: Vec<Elsewhere>,
    /// Calls that went into the belief.
    pub calls: usize,
}

/// What to do now.
///
/// # Errors
/// In words: the outing cannot be forecast, or one stands at no site of it.
pub fn next_step(today: Today, store: &Solutions, ask: NextAsk) -> Result<NextStep, String> {
    let hill = Hill::new(&today.outing, store)?;
    let site = today
        .site()
        .ok_or("you are at no site of the outing; say where with `farhop log at SITE`")?;
    let budget = Budget::of(&today);
    let read = read(&hill, &today);
    let signs = signs(&hill, &today, &read, &budget);
    let own_faults = own_faults(&hill, &today, &budget);
    let mut axes = hill.axes.clone();
    if signs.iter().any(|s| {
        matches!(
            s,
            Sign::Swr { .. } | Sign::Voltage { .. } | Sign::PowerOut { .. } | Sign::TunerRefused { .. }
        )
    }) {
        axes.own_sd_db = axes.own_sd_db.max(DOUBTED_SD_DB);
    }
    let evidence = evidence(&read);
    let belief = Belief::of_size(axes.clone(), &evidence, SEED, DAYS);
    let until = until(&today, site, ask);
    let responses = hill.responses(site, today.now, until);
    let ladder = hill.ladder();
    let look = Ask {
        outing: &today.outing,
        now: today.now,
        until,
        pending: &today.pending,
        ladder: &ladder,
    };
    let here = usable(&today, candidates(&best_antennas(&belief, responses), &look));
    let mut choice = choose(&belief, &here, &today.pending, today.now, budget.left_wh);
    let elsewhere = if today.pending.is_empty() {
        Vec::new()
    } else {
        look_around(&hill, &today, &belief, &budget, site)
    };
    let better = elsewhere.iter().max_by(|a, b| a.value.total_cmp(&b.value));
    if let Some(there) = better.filter(|e| e.value > choice.value + WORTH_A_WALK) {
        choice.advice = Advice::Move(MoveTo {
            site: there.site,
            arrive: there.arrive,
            value: (there.value, choice.value),
        });
    }
    // Thunder and a task under way come before any call, and before any walk but the one under way.
    let busy_until = [today.thunder_until(), today.task.as_ref().and_then(|t| t.end)];
    if let Some(until) = busy_until.into_iter().flatten().filter(|u| *u > today.now).max()
        && choice.best.is_some()
    {
        choice.advice = Advice::Wait(until);
    }
    let unseen = Belief::of_size(axes, &farhop_plan::belief::Evidence::default(), SEED, 400);
    let forecast_chances = here
        .iter()
        .map(|c| unseen.delivers(&c.response, c.tries[0].margin_db))
        .collect();
    let calls = evidence.calls();
    drop(ladder);
    Ok(NextStep {
        candidates: here,
        choice,
        belief,
        forecast_chances,
        signs,
        own_faults,
        budget,
        elsewhere,
        calls,
        today,
    })
}

fn until(today: &Today, site: usize, ask: NextAsk) -> UtcTime {
    let (_, stay_end) = stay(&today.outing, &today.outing.sites[site]);
    let asked = ask.minutes.map(|m| today.now.add_s((m * 60.0) as i64));
    let ahead = today.now.add_s(AHEAD_H * 3_600);
    // Somebody who is still there after the planned end looks at least an hour ahead.
    let end = stay_end
        .max(today.now.add_s(3_600))
        .min(today.end().max(today.now.add_s(3_600)));
    asked.map_or(ahead, |a| a.min(ahead)).min(end)
}

/// Of the antennas at a site only the best for each channel and hour: nobody changes antennas for less. What hangs is kept too.
fn best_antennas(belief: &Belief, responses: Vec<Response>) -> Vec<Response> {
    let few: Vec<_> = belief
        .days
        .iter()
        .step_by(belief.days.len().div_ceil(60).max(1))
        .collect();
    let mean = |r: &Response| few.iter().map(|d| f64::from(r.snr_there_db(d))).sum::<f64>() / few.len().max(1) as f64;
    let mut best: std::collections::BTreeMap<(usize, usize, usize), (f64, Response)> =
        std::collections::BTreeMap::new();
    for response in responses {
        let key = (response.route.station, response.route.channel, response.hour);
        let snr_db = mean(&response);
        match best.get(&key) {
            Some((known, _)) if *known >= snr_db => {}
            _ => {
                best.insert(key, (snr_db, response));
            }
        }
    }
    best.into_values().map(|(_, r)| r).collect()
}

/// Another antenna than the one that hangs cannot be used before it is up.
fn usable(today: &Today, mut list: Vec<Candidate>) -> Vec<Candidate> {
    for candidate in &mut list {
        let antenna = today.outing.kit.antennas.get(candidate.response.route.antenna);
        let Some(antenna) = antenna else { continue };
        let hangs = today.hanging.is_empty() || today.hanging.iter().any(|h| h.antenna.id == antenna.id);
        if !hangs {
            let up = today.now.add_s((antenna.setup_min * 60.0) as i64);
            candidate.start = candidate.start.max(up);
        }
    }
    let closes = |c: &Candidate| c.response.at.add_s(1_800);
    list.retain(|c| c.start < closes(c));
    list
}

fn look_around(hill: &Hill<'_>, today: &Today, belief: &Belief, budget: &Budget, site: usize) -> Vec<Elsewhere> {
    let sites = &today.outing.sites;
    let others = (0..sites.len()).filter(|s| *s != site);
    let ladder = hill.ladder();
    let one = |other: usize| {
        let arrive = today.now.add_s((walk_min(&sites[site], &sites[other]) * 60.0) as i64);
        let (_, stay_end) = stay(&today.outing, &today.outing.sites[other]);
        let until = arrive.add_s(4 * 3_600).min(stay_end).min(today.end());
        if until <= arrive {
            return None;
        }
        let responses = hill.responses(other, arrive, until.min(arrive.add_s(HOURS_ELSEWHERE * 3_600 - 1_800)));
        let look = Ask {
            outing: &today.outing,
            now: today.now,
            until,
            pending: &today.pending,
            ladder: &ladder,
        };
        let list = candidates(&best_antennas(belief, responses), &look);
        let value = choose_with(belief, &list, &today.pending, (today.now, budget.left_wh), ROUGH_DAYS).value;
        Some(Elsewhere {
            site: other,
            arrive,
            value,
        })
    };
    others.filter_map(one).collect()
}
