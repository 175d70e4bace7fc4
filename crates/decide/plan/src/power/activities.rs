//! The outing's days and calls as stretches in which loads are in a state.

use farhop_energy::simulate::Activity;
use farhop_energy::{Load, LoadState};
use farhop_outing::Outing;

use crate::power::calls::Call;
use crate::power::habits::ASLEEP_FROM_H;
use crate::power::loads::{COMPUTER, Loads, MODEM, RECEIVER, TRANSMITTER, TUNER};
use crate::power::stay::{Mode, SLOT_S, Stay};

/// What a stretch is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// Walking, asleep, with the set off, or listening.
    Day(Mode),
    /// A further load is on: its index among the kit's loads.
    Load(usize),
    /// Before a call: listening and writing; index of the message.
    Listen(usize),
    /// A steady carrier; index of the message.
    Tune(usize),
    /// Calling and sending; index of the message.
    Send(usize),
}

impl Doing {
    /// The message that the stretch is for.
    #[must_use]
    pub fn message(self) -> Option<usize> {
        match self {
            Self::Listen(m) | Self::Tune(m) | Self::Send(m) => Some(m),
            Self::Day(_) | Self::Load(_) => None,
        }
    }
}

/// Stretches with what they are for, in the order in which they decide: later ones over earlier ones.
pub fn activities(outing: &Outing, loads: &Loads, stay: &Stay<'_>, calls: &[Call]) -> Vec<(Doing, Activity)> {
    let mut list = Vec::new();
    days(loads, stay, &mut list);
    further_loads(outing, loads, stay, &mut list);
    for call in calls {
        of_call(outing, loads, stay, call, &mut list);
    }
    list
}

fn days(loads: &Loads, stay: &Stay<'_>, list: &mut Vec<(Doing, Activity)>) {
    let modes: Vec<Mode> = (0..stay.count()).map(|slot| stay.mode(slot)).collect();
    let mut first = 0;
    for run in modes.chunk_by(|a, b| a == b) {
        let mode = run[0];
        let span = (
            (first * SLOT_S as usize) as f64,
            ((first + run.len()) * SLOT_S as usize) as f64,
        );
        let states = loads
            .loads
            .iter()
            .filter_map(|l| Some((l.id.clone(), state_of_day(l, mode)?)));
        list.push((Doing::Day(mode), activity("day", span, states.collect())));
        first += run.len();
    }
}

/// What a load does when nothing is called; none for those that have hours of their own.
fn state_of_day(load: &Load, mode: Mode) -> Option<LoadState> {
    let own_hours = matches!(load.kind, farhop_energy::LoadKind::Simple { .. }) && load.idle_state == LoadState::Off;
    if own_hours || load.id == TRANSMITTER {
        return None;
    }
    Some(match (mode, load.id.as_str()) {
        (Mode::Way, _) | (Mode::Asleep | Mode::Off, MODEM | TUNER) => LoadState::Off,
        (Mode::Asleep | Mode::Off, RECEIVER) | (_, COMPUTER) => LoadState::Sleep,
        (Mode::Watch, RECEIVER) => LoadState::Receive,
        (Mode::Watch, MODEM | TUNER) => LoadState::Bright,
        (Mode::Asleep | Mode::Off | Mode::Watch, _) => load.idle_state,
    })
}

/// The state of a load of a listening watch when the set is off instead.
pub(crate) fn with_the_set_off(id: &str, state: LoadState) -> LoadState {
    match id {
        RECEIVER => LoadState::Sleep,
        MODEM | TUNER => LoadState::Off,
        _ => state,
    }
}

/// Further loads are on in the hours before bedtime.
fn further_loads(outing: &Outing, loads: &Loads, stay: &Stay<'_>, list: &mut Vec<(Doing, Activity)>) {
    let end_s = (stay.count() as i64 * SLOT_S) as f64;
    // The first bedtime after the start, s after it.
    let bedtime_s = (ASLEEP_FROM_H - stay.solar_h(0)).rem_euclid(24.0) * 3_600.0;
    for (index, own) in outing.kit.loads.iter().enumerate() {
        if own.on_h_per_day <= 0.0 || !loads.loads.iter().any(|l| l.id == own.id.as_str()) {
            continue;
        }
        let on_s = own.on_h_per_day.min(24.0) * 3_600.0;
        let days = (end_s / 86_400.0).ceil() as i64 + 1;
        for day in 0..=days {
            let off_s = bedtime_s + 86_400.0 * day as f64;
            let span = ((off_s - on_s).max(0.0), off_s.min(end_s));
            if span.1 > span.0 {
                let states = vec![(own.id.to_string(), LoadState::On)];
                list.push((Doing::Load(index), activity(own.id.as_str(), span, states)));
            }
        }
    }
}

fn of_call(outing: &Outing, loads: &Loads, stay: &Stay<'_>, call: &Call, list: &mut Vec<(Doing, Activity)>) {
    let id = outing.messages.get(call.message).map_or("call", |m| m.id.as_str());
    let slot = (call.send_s / SLOT_S as f64) as usize;
    let screen = if stay.sun_elevation_deg(slot) < -0.833 {
        LoadState::Dim
    } else {
        LoadState::Bright
    };
    let rf_power_w = outing.kit.transceiver.power_w;
    let sending = LoadState::Transmit {
        rf_power_w,
        duty: call.duty,
    };
    let tuning = LoadState::Tune {
        rf_power_w: loads.tune_rf_w,
    };
    let awake = [(RECEIVER, LoadState::Receive), (TUNER, LoadState::Bright)];
    let stretches = [
        (
            Doing::Listen(call.message),
            (call.listen_s, call.tune_s),
            vec![(MODEM, LoadState::Bright), (COMPUTER, screen)],
        ),
        (
            Doing::Tune(call.message),
            (call.tune_s, call.send_s),
            vec![
                (MODEM, LoadState::Bright),
                (COMPUTER, LoadState::Dim),
                (TUNER, LoadState::Dim),
                (TRANSMITTER, tuning),
            ],
        ),
        (
            Doing::Send(call.message),
            (call.send_s, call.end_s),
            vec![
                (MODEM, LoadState::Dim),
                (COMPUTER, LoadState::Dim),
                (TRANSMITTER, sending),
            ],
        ),
    ];
    for (doing, span, own) in stretches {
        if span.1 <= span.0 {
            continue;
        }
        let exists = |id: &str| loads.loads.iter().any(|l| l.id == id);
        // A later entry of the same load decides.
        let states = awake.iter().chain(&own).filter(|(l, _)| exists(l));
        let states = states.map(|(l, s)| ((*l).to_owned(), *s)).collect();
        list.push((doing, activity(id, span, states)));
    }
}

fn activity(id: &str, (start_s, end_s): (f64, f64), states: Vec<(String, LoadState)>) -> Activity {
    Activity {
        id: id.to_owned(),
        start_s,
        end_s,
        states,
    }
}
