//! From an outing and its plan to charge through time, the cost of each message, and the hour to stop.
//!
//! The calls are those of the schedule. Only what is carried counts. What the outing
//! file does not say is in [`habits`].

mod activities;
mod afford;
mod calls;
mod feed;
pub mod habits;
mod keying;
pub mod loads;
mod outlook;
mod sources;
mod stay;
mod sun;
mod timeline;

pub use activities::Doing;
pub(crate) use afford::{Afforded, afforded, afforded_or_short};
pub use calls::{Call, calls_of};
pub use farhop_energy::simulate::{LoadOutlook, Source, SourceOutlook, TransmitStop, TripOutlook};
pub use farhop_energy::spread::Spread3;
pub use farhop_energy::{ChargeRead, Load, Release, TripCause, VoltageReading};
pub use keying::{Keying, LeastCharge};
use outlook::usable_wh;
pub use outlook::{CallsOnly, EnergyForecast, MessageEnergy, Moment};
pub use stay::Mode;
pub use timeline::Segment;

use crate::error::PlanError;
use farhop_earth::UtcTime;
use farhop_energy::simulate::{HandAction, Handling};
use farhop_energy::solar::{ClearSky, Transposition};
use farhop_energy::{EnergyInput, EnergyOuting, simulate};
use farhop_outing::{Outing, Site};

use activities::activities;
use keying::Keyed;
use loads::Loads;
use stay::{SLOT_S, Stay};

/// Energy through an outing with calls given, in order of time.
///
/// # Errors
/// What keeps it from being computed, in words: no battery is carried, a number is out of range.
pub fn energy_with(outing: &Outing, calls: Vec<Call>) -> Result<EnergyForecast, PlanError> {
    energy(outing, calls, None)
}

/// The same outing with the set off between calls; none where it is off anyway. Listening is a habit and a call is not: where charge is
/// short, what calls may take is counted without it.
#[must_use]
pub fn set_off_between_calls(outing: &Outing) -> Option<Outing> {
    if outing.kit.transceiver.listen_h_per_day <= 0.0 {
        return None;
    }
    let mut parts = outing.clone().into_parts();
    parts.kit.transceiver.listen_h_per_day = 0.0;
    Outing::new(parts).ok()
}

/// Energy from an instant to the end, without calls, where the battery that is in use by `planned` then had the charge `share`
/// (dimensionless); batteries that are used in turn with it have what `planned` gives them.
///
/// # Errors
/// As [`energy_with`], and that the outing is over.
pub fn energy_from(
    outing: &Outing,
    from: UtcTime,
    planned: &EnergyForecast,
    share: Spread3,
) -> Result<EnergyForecast, PlanError> {
    if from >= outing.header.end {
        return Err(PlanError::Over);
    }
    let mut parts = outing.clone().into_parts();
    parts.header.start = from;
    parts.messages.clear();
    for site in &mut parts.sites {
        // A stay that is over is one of a minute; one that has begun goes on.
        site.from = site.from.filter(|begins| *begins > from);
        site.until = site.until.map(|ends| ends.max(from.add_s(60)));
    }
    let at_s = (from.unix_s() - planned.start.unix_s()) as f64;
    let in_use = planned.in_use_at(at_s);
    for battery in &mut parts.kit.batteries {
        let place = planned.input().sources.iter().position(|s| s.id == battery.id.as_str());
        if let Some(place) = place {
            battery.start_charge = planned.share_of(place, at_s).p50.clamp(0.0, 1.0);
        }
    }
    let used = planned
        .input()
        .sources
        .get(in_use)
        .map_or("", |s| s.id.as_str())
        .to_owned();
    let rest = Outing::new(parts)
        .map_err(|flaws| PlanError::Unsound(flaws.first().map_or_else(String::new, |f| f.cause.clone())))?;
    energy(&rest, Vec::new(), Some((&used, share)))
}

/// `known` is the battery in use and its charge, where that is known.
fn energy(outing: &Outing, calls: Vec<Call>, known: Option<(&str, Spread3)>) -> Result<EnergyForecast, PlanError> {
    let stay = Stay::new(outing, &calls);
    let ready = ready(outing, &stay, &calls, known)?;
    Ok(forecast(outing, &stay, calls, ready))
}

/// What is simulated, what each of its activities is for, and what feeds what.
struct Ready {
    checked: EnergyOuting,
    doings: Vec<Doing>,
    main: usize,
    loads: Loads,
}

fn ready(outing: &Outing, stay: &Stay<'_>, calls: &[Call], known: Option<(&str, Spread3)>) -> Result<Ready, PlanError> {
    let site = outing.sites.get(stay.main()).ok_or(PlanError::NoSite)?;
    let loads = loads::loads(outing)?;
    let mut sources = sources::carried(outing)
        .into_iter()
        .map(sources::source)
        .collect::<Result<Vec<_>, _>>()?;
    let main = sources.iter().position(|s| s.id == loads.main).unwrap_or(0);
    let mut turn = sources::in_turn(outing, &loads.main);
    if let Some((used, share)) = known {
        if let Some(source) = sources.iter_mut().find(|s| s.id == used) {
            source.start_share = share;
        }
        if let Some(place) = turn.iter().position(|id| id == used) {
            turn.rotate_left(place);
        }
    }
    let (doings, list): (Vec<Doing>, Vec<_>) = activities(outing, &loads, stay, calls).into_iter().unzip();
    let input = EnergyInput {
        handlings: handlings(&sources, calls),
        turns: if turn.len() > 1 { vec![turn] } else { Vec::new() },
        activities: list,
        ..still(outing, stay, site, (sources, loads.loads.clone()))?
    };
    Ok(Ready {
        checked: EnergyOuting::new(input)?,
        doings,
        main,
        loads,
    })
}

/// The input without anybody doing anything.
fn still(
    outing: &Outing,
    stay: &Stay<'_>,
    site: &Site,
    (sources, loads): (Vec<Source>, Vec<farhop_energy::Load>),
) -> Result<EnergyInput, PlanError> {
    let duration_s = (outing.header.end.unix_s() - outing.header.start.unix_s()) as f64;
    Ok(EnergyInput {
        duration_s,
        step_s: habits::STEP_S,
        panels: sun::panels(outing, &sources, site)?,
        sources,
        turns: Vec::new(),
        loads,
        activities: Vec::new(),
        handlings: Vec::new(),
        air_c: (0..stay.count())
            .map(|slot| ((slot as i64 * SLOT_S) as f64, stay.air_c(slot)))
            .chain([((stay.count() as i64 * SLOT_S) as f64, stay.air_c(stay.count() - 1))])
            .collect(),
        sun: stay.sun_track(),
        air: sun::air(outing, site),
        clear_sky: ClearSky::Ineichen,
        transposition: Transposition::HayDavies,
        albedo: habits::ALBEDO,
        sky: vec![sun::sky(outing.conditions.weather)?],
        uncertainty: sources::uncertainty(),
        reserve_share: outing.header.reserve,
        reserve_confidence: habits::RESERVE_CONFIDENCE,
    })
}

/// A battery whose protection wants its loads taken off gets that when the operator comes back to call.
fn handlings(sources: &[Source], calls: &[Call]) -> Vec<Handling> {
    let wants = |source: &&Source| {
        let protection = source.battery.spec().protection;
        protection.is_some_and(|p| p.under_voltage_release == Release::Disconnect)
    };
    let wanting: Vec<&Source> = sources.iter().filter(wants).collect();
    let at = |call: &Call| {
        let one = |source: &&Source| Handling {
            at_s: call.listen_s,
            source: source.id.clone(),
            action: HandAction::Reconnect,
        };
        wanting.iter().map(one).collect::<Vec<_>>()
    };
    calls.iter().flat_map(at).collect()
}

fn forecast(outing: &Outing, stay: &Stay<'_>, calls: Vec<Call>, ready: Ready) -> EnergyForecast {
    let Ready {
        checked,
        doings,
        main,
        loads,
    } = ready;
    let outcome = simulate(&checked);
    let reserve_wh = reserve_wh(&checked, main);
    let mut forecast = EnergyForecast {
        start: outing.header.start,
        segments: timeline::segments(checked.input(), &doings),
        moments: (0..stay.count()).map(|slot| moment(stay, slot)).collect(),
        below_reserve_s: None,
        calls_only: None,
        least_charge: Vec::new(),
        messages: Vec::new(),
        main_site: stay.main(),
        notes: loads.notes,
        outing: checked,
        doings,
        outcome,
        main,
        reserve_wh,
    };
    forecast.below_reserve_s = below_s(&forecast);
    let power_w = outing.kit.transceiver.power_w;
    forecast.messages = calls.into_iter().map(|c| message(&forecast, c, power_w)).collect();
    forecast.least_charge = least_charge(&forecast, power_w);
    let short = forecast.outcome.transmit.stop != TransmitStop::NotNeeded || forecast.below_reserve_s.is_some();
    if short && outing.kit.transceiver.listen_h_per_day > 0.0 {
        forecast.calls_only = calls_only(&forecast);
    }
    forecast
}

fn moment(stay: &Stay<'_>, slot: usize) -> Moment {
    Moment {
        time_s: (slot as i64 * SLOT_S) as f64,
        site: stay.site(slot),
        sun_elevation_deg: stay.sun_elevation_deg(slot),
        air_c: stay.air_c(slot),
    }
}

/// The reserve as the simulation counts it: a share of what the battery has to give when full and warm.
fn reserve_wh(checked: &EnergyOuting, main: usize) -> f64 {
    let input = checked.input();
    input.sources.get(main).map_or(0.0, |source| {
        let full_ah = source.battery.spec().capacity_ah * input.uncertainty.capacity_health.p50;
        input.reserve_share * source.battery.usable_wh(source.battery.spec().usable.1, 25.0, full_ah)
    })
}

fn below_s(forecast: &EnergyForecast) -> Option<f64> {
    let low = forecast
        .usable_wh()
        .iter()
        .position(|band| band.p10 < forecast.reserve_wh)?;
    forecast.outcome.times_s.get(low).copied()
}

fn message(forecast: &EnergyForecast, call: Call, power_w: f64) -> MessageEnergy {
    let own = |begins_s: f64| call.has(begins_s);
    let mine = own_stretches(&call, &forecast.doings, forecast.input());
    let (mut energy_wh, mut extra_wh, mut chance_powered) = (Spread3::default(), Spread3::default(), 1.0f64);
    for outlook in mine.filter_map(|place| forecast.outcome.activities.get(place)) {
        // Stretches of one call rise and fall together, so that their points add.
        energy_wh = sum(energy_wh, outlook.energy_wh);
        extra_wh = sum(extra_wh, outlook.extra_wh);
        chance_powered = chance_powered.min(outlook.chance_powered);
    }
    let sends = |s: &&Segment| s.doing == Doing::Send(call.message) && own(s.start_s);
    let sending = forecast.segments.iter().find(sends);
    let keyed = Keyed::new(forecast.input(), power_w, sending);
    // The sag is worked out for the battery that is used first; on another one nothing is said.
    let on_main = forecast.in_use_at(call.send_s) == forecast.main;
    let keying = keyed.filter(|_| on_main).and_then(|k| {
        k.at(
            forecast.share_of(forecast.main, call.send_s).p10,
            battery_c(forecast, call.send_s),
        )
    });
    MessageEnergy {
        call,
        energy_wh,
        extra_wh,
        chance_powered,
        keying,
    }
}

/// Places of the activities that are one call's own: a message may be called for several times.
fn own_stretches<'a>(
    call: &'a Call,
    doings: &'a [Doing],
    input: &'a EnergyInput,
) -> impl Iterator<Item = usize> + use<'a> {
    let stretches = doings.iter().zip(&input.activities).enumerate();
    let own = stretches.filter(|(_, (doing, of))| doing.message() == Some(call.message) && call.has(of.start_s));
    own.map(|(place, _)| place)
}

fn sum(a: Spread3, b: Spread3) -> Spread3 {
    Spread3 {
        p10: a.p10 + b.p10,
        p50: a.p50 + b.p50,
        p90: a.p90 + b.p90,
    }
}

/// Temperature of the main battery at a time (s after the start), °C.
fn battery_c(forecast: &EnergyForecast, time_s: f64) -> f64 {
    let air_c = forecast.moment(time_s).map_or(10.0, |m| m.air_c);
    let source = forecast.input().sources.get(forecast.main);
    match source.map(|s| s.warmth) {
        Some(farhop_energy::simulate::Warmth::Held { temp_c }) => temp_c,
        _ => air_c,
    }
}

/// The charge that keying needs at room temperature and in the coldest air of the outing.
fn least_charge(forecast: &EnergyForecast, power_w: f64) -> Vec<LeastCharge> {
    let sending = forecast.segments.iter().find(|s| matches!(s.doing, Doing::Send(_)));
    let Some(keyed) = Keyed::new(forecast.input(), power_w, sending) else {
        return Vec::new();
    };
    let coldest_c = forecast
        .moments
        .iter()
        .map(|m| m.air_c)
        .fold(habits::KEPT_WARM_C, f64::min);
    [habits::KEPT_WARM_C, coldest_c]
        .into_iter()
        .filter_map(|temp_c| keyed.least(temp_c))
        .collect()
}

/// The outing with the set off between the calls.
fn calls_only(forecast: &EnergyForecast) -> Option<CallsOnly> {
    let outcome = simulate(&quiet_between(forecast.input(), &forecast.doings)?);
    let (end_share, chance_dry) = match outcome.turns.first() {
        Some(turn) => (turn.share.last().copied()?, turn.chance_dry),
        None => {
            let source = outcome.sources.get(forecast.main)?;
            (source.share.last().copied()?, source.chance_dry)
        }
    };
    // Sending is what a time to stop is looked for; where nothing is sent, what is left tells whether the reserve holds.
    let kept = usable_wh(&outcome, forecast.main)
        .iter()
        .all(|band| band.p10 >= forecast.reserve_wh);
    let sends = !forecast.messages.is_empty();
    Some(CallsOnly {
        end_share,
        chance_dry,
        keeps_reserve: outcome.transmit.stop == TransmitStop::NotNeeded && (sends || kept),
    })
}

/// The same with the set off between the calls.
fn quiet_between(input: &EnergyInput, doings: &[Doing]) -> Option<EnergyOuting> {
    let mut input = input.clone();
    for (doing, activity) in doings.iter().zip(&mut input.activities) {
        if *doing == Doing::Day(Mode::Watch) {
            for (id, state) in &mut activity.states {
                *state = activities::with_the_set_off(id, *state);
            }
        }
    }
    EnergyOuting::new(input).ok()
}
