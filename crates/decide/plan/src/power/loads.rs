//! What draws: transceiver, tuner, modem, computer, converters, further loads.

use crate::error::PlanError;
use farhop_energy::{BrownOut, Draw, Inrush, Load, LoadKind, LoadState, TransmitDraw};
use farhop_outing::{Id, Outing, Transceiver, TunerKind};

use crate::power::feed::{Feed, feed, without_idle};
use crate::power::habits::{CABLE_MOHM, INRUSH_RATIO, INRUSH_S};

/// Id of the receiving half of the transceiver. A colon keeps it apart from every id of an outing file.
pub const RECEIVER: &str = "transceiver:receive";
/// Id of what the transceiver draws beyond that with the key down.
pub const TRANSMITTER: &str = "transceiver:transmit";
/// Id of the tuner.
pub const TUNER: &str = "tuner";
/// Id of the modem.
pub(crate) const MODEM: &str = "modem";
/// Id of the computer.
pub const COMPUTER: &str = "computer";
/// Efficiency below which a transmitter is not believed (dimensionless; the least that the energy crate takes).
const LEAST_EFFICIENCY: f64 = 0.05;
/// Seconds until a computer is ready again after a brown-out (a judgement).
const COMPUTER_RESTART_S: f64 = 120.0;
/// Seconds until a small circuit is ready again (a judgement).
const CIRCUIT_RESTART_S: f64 = 10.0;

/// All loads and what was assumed.
#[derive(Clone, Debug)]
pub struct Loads {
    /// The loads.
    pub loads: Vec<Load>,
    /// Id of the battery that feeds the transceiver.
    pub main: String,
    /// Power setting that stands for the draw while tuning, W.
    pub tune_rf_w: f64,
    /// What had to be assumed, or could not be powered, in words.
    pub notes: Vec<String>,
}

/// Everything that draws.
///
/// # Errors
/// The transceiver has no power, or a number is out of range.
pub fn loads(outing: &Outing) -> Result<Loads, PlanError> {
    let kit = &outing.kit;
    let set = &kit.transceiver;
    let of_set = feed(outing, "the transceiver", set.source.as_ref())?;
    let (transmit, tune_rf_w) = transmit_draw(set);
    let mut list = Builder::new(outing);
    let receiver = LoadKind::Radio {
        sleep: Draw::Power(set.sleep_w),
        receive: Draw::Power(set.receive_w),
        transmit: nothing_sent(),
    };
    list.push_fed(
        of_set.clone(),
        RECEIVER,
        receiver,
        (set.min_receive_v, LoadState::Sleep),
    )?;
    let transmitter = LoadKind::Radio {
        sleep: Draw::Power(0.0),
        receive: Draw::Power(0.0),
        transmit,
    };
    list.push_fed(of_set.clone(), TRANSMITTER, transmitter, (set.min_v, LoadState::Off))?;
    if kit.tuner.kind != TunerKind::None && kit.carries(TUNER) {
        let tuner = three_states(0.0, kit.tuner.switching_w, kit.tuner.idle_w);
        list.push_fed(of_set.clone(), TUNER, tuner, (0.0, LoadState::Off))?;
    }
    if kit.carries(MODEM) {
        let modem = three_states(0.0, kit.modem.active_w, kit.modem.idle_w);
        list.push(
            MODEM,
            kit.modem.source.as_ref(),
            modem,
            (kit.modem.min_v, LoadState::Off),
        )?;
    }
    if let Some(own) = kit.computer.as_ref().filter(|_| kit.carries(COMPUTER)) {
        let computer = three_states(own.sleep_w, own.dim_w, own.bright_w);
        list.push(COMPUTER, own.source.as_ref(), computer, (own.min_v, LoadState::Sleep))?;
    }
    for own in kit.loads.iter().filter(|l| kit.carries(l.id.as_str())) {
        let on = LoadKind::Simple {
            on: Draw::Power(own.on_w),
        };
        list.push(own.id.as_str(), own.source.as_ref(), on, (own.min_v, LoadState::Off))?;
    }
    list.converters()?;
    Ok(Loads {
        loads: list.loads,
        main: of_set.source,
        tune_rf_w,
        notes: list.notes,
    })
}

/// Id of what a converter draws for itself.
#[must_use]
pub(crate) fn idle_id(converter: &str) -> String {
    format!("{converter}:idle")
}

/// A load with a state of its own below two others: for the modem and the tuner "bright" stands for idle and "dim" for at work.
fn three_states(sleep_w: f64, dim_w: f64, bright_w: f64) -> LoadKind {
    LoadKind::Computer {
        sleep: Draw::Power(sleep_w),
        dim: Draw::Power(dim_w),
        bright: Draw::Power(bright_w),
    }
}

fn nothing_sent() -> TransmitDraw {
    TransmitDraw {
        overhead_w: 0.0,
        efficiency: 1.0,
        as_current_at_v: None,
    }
}

/// What the transmitter draws beyond receiving, as overhead and efficiency, and the power setting that gives the stated draw while
/// tuning. Both draws come out as stated: at the power in use and while tuning.
fn transmit_draw(set: &Transceiver) -> (TransmitDraw, f64) {
    let of_level = set.power_levels_w.iter().zip(&set.transmit_draw_w);
    let nearest = of_level.min_by(|a, b| (a.0 - set.power_w).abs().total_cmp(&(b.0 - set.power_w).abs()));
    let sending_w = nearest.map_or(set.receive_w, |(_, draw_w)| *draw_w);
    let beyond_w = (sending_w - set.receive_w).max(set.power_w);
    let tuning_w = (set.tune_w - set.receive_w).max(0.0);
    let overhead_w = (beyond_w - set.power_w).min(tuning_w).max(0.0);
    let efficiency = (set.power_w / (beyond_w - overhead_w)).clamp(LEAST_EFFICIENCY, 1.0);
    let draw = TransmitDraw {
        overhead_w,
        efficiency,
        as_current_at_v: None,
    };
    (draw, efficiency * (tuning_w - overhead_w))
}

struct Builder<'a> {
    outing: &'a Outing,
    loads: Vec<Load>,
    /// Ids of the loads behind each converter, by its index in the kit.
    behind: Vec<Vec<String>>,
    notes: Vec<String>,
}

impl<'a> Builder<'a> {
    fn new(outing: &'a Outing) -> Self {
        Self {
            outing,
            loads: Vec::new(),
            behind: vec![Vec::new(); outing.kit.converters.len()],
            notes: Vec::new(),
        }
    }

    fn push(
        &mut self,
        id: &str,
        wanted: Option<&Id>,
        kind: LoadKind,
        least_and_idle: (f64, LoadState),
    ) -> Result<(), PlanError> {
        match feed(self.outing, id, wanted) {
            Ok(feed) => self.push_fed(feed, id, kind, least_and_idle),
            Err(why) => {
                self.notes.push(format!("Left out: {why}"));
                Ok(())
            }
        }
    }

    fn push_fed(
        &mut self,
        feed: Feed<'_>,
        id: &str,
        kind: LoadKind,
        (min_v, idle_state): (f64, LoadState),
    ) -> Result<(), PlanError> {
        let converter = feed.converter.map(without_idle).transpose()?;
        let place = self
            .outing
            .kit
            .converters
            .iter()
            .position(|c| feed.converter.is_some_and(|f| f.id == c.id));
        if let Some(list) = place.and_then(|p| self.behind.get_mut(p)) {
            list.push(id.to_owned());
        }
        self.notes.extend(feed.assumed);
        self.loads.push(Load {
            id: id.to_owned(),
            source: feed.source,
            inrush: inrush(kind, id, self.outing),
            kind,
            cable_mohm: CABLE_MOHM,
            converter,
            fuse: None,
            // Behind a converter its own least input voltage decides.
            minimum_v: if converter.is_some() { 0.0 } else { min_v },
            rides_through_s: 0.0,
            brown_out: match id {
                TRANSMITTER => BrownOut::SwitchesOff,
                COMPUTER => BrownOut::Restarts {
                    restart_s: COMPUTER_RESTART_S,
                },
                _ => BrownOut::Restarts {
                    restart_s: CIRCUIT_RESTART_S,
                },
            },
            idle_state,
        });
        Ok(())
    }

    /// What the converters draw for themselves, and whether they are asked for too much.
    fn converters(&mut self) -> Result<(), PlanError> {
        let outing = self.outing;
        let carried = outing.kit.converters.iter().zip(self.behind.clone());
        for (own, behind) in carried.filter(|(c, _)| outing.kit.carries(c.id.as_str())) {
            let battery = feed(outing, own.id.as_str(), own.source.as_ref())?;
            let draws_w = self.loads.iter().filter(|l| behind.contains(&l.id)).map(most_w);
            let most_w: f64 = draws_w.sum();
            if most_w > own.max_w {
                self.notes.push(format!(
                    "{} can be asked for {most_w:.1} W at once and gives {:.1} W: not everything on it works together",
                    own.id, own.max_w
                ));
            }
            let idle = LoadKind::Simple {
                on: Draw::Power(own.idle_w),
            };
            self.push_fed(battery, &idle_id(own.id.as_str()), idle, (own.min_v, LoadState::On))?;
        }
        Ok(())
    }
}

/// The largest draw of a load at its own terminals, W.
fn most_w(load: &Load) -> f64 {
    let states = [
        LoadState::Sleep,
        LoadState::Dim,
        LoadState::Bright,
        LoadState::On,
        LoadState::Receive,
    ];
    let draws = states.into_iter().filter_map(|s| load.kind.draw(s));
    draws.map(|d| d.power_w(5.0)).fold(0.0, f64::max)
}

/// The moment of keying: the current of the stated draw at the first battery's nominal voltage, times the usual ratio.
fn inrush(kind: LoadKind, id: &str, outing: &Outing) -> Option<Inrush> {
    if id != TRANSMITTER {
        return None;
    }
    let set = &outing.kit.transceiver;
    let state = LoadState::Transmit {
        rf_power_w: set.power_w,
        duty: 1.0,
    };
    let feed = feed(outing, id, set.source.as_ref()).ok()?;
    let battery = outing.kit.batteries.iter().find(|b| b.id.as_str() == feed.source);
    let supply_v = feed
        .converter
        .map(|c| c.out_v)
        .or(battery.map(farhop_outing::Battery::nominal_v))?;
    Some(Inrush {
        current_a: INRUSH_RATIO * kind.draw(state)?.power_w(supply_v) / supply_v,
        duration_s: INRUSH_S,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_outing::SMeter;
    use proptest::prelude::*;

    fn set(power_w: f64, transmit_w: f64, tune_w: f64) -> Transceiver {
        Transceiver {
            name: "Set".into(),
            power_levels_w: vec![power_w / 2.0, power_w],
            power_w,
            noise_figure_db: 10.0,
            full_power_swr: 2.0,
            no_power_swr: 5.0,
            receive_w: 1.5,
            transmit_draw_w: vec![0.7 * transmit_w, transmit_w],
            tune_w,
            sleep_w: 0.0,
            listen_h_per_day: 0.0,
            min_v: 10.8,
            min_receive_v: 9.0,
            source: None,
            s_meter: SMeter {
                s9_dbm: -73.0,
                unit_db: 6.0,
            },
        }
    }

    proptest! {
        /// Receiver and transmitter together draw what the outing states: with the key down at the power in use, and while tuning.
        #[test]
        fn stated_draws_come_out(power in 1.0..50.0f64, loss in 1.2..8.0f64, tune in 0.2..1.2f64) {
            let transmit_w = 1.5 + power * loss;
            let tune_w = 1.5 + tune * (transmit_w - 1.5);
            let (draw, tune_rf_w) = transmit_draw(&set(power, transmit_w, tune_w));
            prop_assert!((1.5 + draw.at(power).power_w(12.0) - transmit_w).abs() < 1e-9);
            prop_assert!((1.5 + draw.at(tune_rf_w).power_w(12.0) - tune_w).abs() < 1e-9);
            prop_assert!(draw.overhead_w >= 0.0 && (0.05..=1.0).contains(&draw.efficiency) && tune_rf_w >= 0.0);
        }
    }
}
