//! Loads: what each draws in each state, from which source, and what happens when the voltage falls too low.

use crate::converter::Converter;
use crate::error::{EnergyError, within};
use crate::fuse::Fuse;

/// A state of a load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LoadState {
    /// Switched off or unplugged; draws nothing.
    Off,
    /// Asleep.
    Sleep,
    /// Receiving, calling included between its transmissions.
    Receive,
    /// Transmitting.
    Transmit {
        /// Power at the antenna connector, W.
        rf_power_w: f64,
        /// Share of the time with the key down (0 to 1, dimensionless); the rest is drawn as in receive.
        duty: f64,
    },
    /// A steady carrier for tuning.
    Tune {
        /// Power at the antenna connector, W.
        rf_power_w: f64,
    },
    /// On, for loads that have only one such state.
    On,
    /// Computer with a dim screen.
    Dim,
    /// Computer with a bright screen.
    Bright,
}

impl LoadState {
    /// Plain word.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Off => "off",
            Self::Sleep => "sleep",
            Self::Receive => "receive",
            Self::Transmit { .. } => "transmit",
            Self::Tune { .. } => "tune",
            Self::On => "on",
            Self::Dim => "dim",
            Self::Bright => "bright",
        }
    }

    /// Whether the state puts a carrier on the air.
    #[must_use]
    pub(crate) fn is_on_air(&self) -> bool {
        matches!(self, Self::Transmit { .. } | Self::Tune { .. })
    }
}

/// What a load draws at its connector.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Draw {
    /// Constant power, W (switching regulators, computers).
    Power(f64),
    /// Constant current, A (linear regulators, most small transmitters).
    Current(f64),
}

impl Draw {
    fn checked(self, what: &str) -> Result<Self, EnergyError> {
        match self {
            Self::Power(power_w) => within(format!("draw of {what} (W)"), power_w, 0.0, 2000.0).map(Self::Power),
            Self::Current(current_a) => within(format!("draw of {what} (A)"), current_a, 0.0, 200.0).map(Self::Current),
        }
    }

    /// Power at a given voltage (V), W.
    #[must_use]
    pub fn power_w(&self, at_v: f64) -> f64 {
        match self {
            Self::Power(power_w) => *power_w,
            Self::Current(current_a) => current_a * at_v,
        }
    }
}

/// What a transmitter draws for the power it radiates: P_dc = overhead + P_rf / efficiency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransmitDraw {
    /// Draw with the key down at no power, W.
    pub overhead_w: f64,
    /// Radio power over the further direct-current power (0.05 to 1, dimensionless).
    pub efficiency: f64,
    /// If given, the transmitter draws P_dc divided by this voltage (V) as a constant current; otherwise constant power.
    pub as_current_at_v: Option<f64>,
}

impl TransmitDraw {
    /// The draw at `rf_power_w` (W).
    #[must_use]
    pub fn at(&self, rf_power_w: f64) -> Draw {
        let dc_w = self.overhead_w + rf_power_w / self.efficiency;
        self.as_current_at_v
            .map_or(Draw::Power(dc_w), |volts| Draw::Current(dc_w / volts))
    }

    fn checked(self) -> Result<Self, EnergyError> {
        within("overhead of the transmitter (W)", self.overhead_w, 0.0, 500.0)?;
        within("efficiency of the transmitter", self.efficiency, 0.05, 1.0)?;
        if let Some(volts) = self.as_current_at_v {
            within("reference voltage of the transmitter (V)", volts, 1.0, 100.0)?;
        }
        Ok(self)
    }
}

/// What a kind of load can do, and what it draws.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LoadKind {
    /// A transceiver.
    Radio {
        /// Asleep.
        sleep: Draw,
        /// Receiving.
        receive: Draw,
        /// Transmitting and tuning.
        transmit: TransmitDraw,
    },
    /// A computer or telephone.
    Computer {
        /// Asleep.
        sleep: Draw,
        /// Working with a dim screen.
        dim: Draw,
        /// Working with a bright screen.
        bright: Draw,
    },
    /// Anything that is on or off.
    Simple {
        /// On.
        on: Draw,
    },
}

impl LoadKind {
    /// The draw with the key down (in states without a key: the draw), or `None` if the load has no such state.
    #[must_use]
    pub fn draw(&self, state: LoadState) -> Option<Draw> {
        match (self, state) {
            (_, LoadState::Off) => Some(Draw::Power(0.0)),
            (Self::Radio { sleep, .. } | Self::Computer { sleep, .. }, LoadState::Sleep) => Some(*sleep),
            (Self::Radio { receive, .. }, LoadState::Receive | LoadState::On) => Some(*receive),
            (Self::Radio { transmit, .. }, LoadState::Transmit { rf_power_w, .. } | LoadState::Tune { rf_power_w }) => {
                Some(transmit.at(rf_power_w))
            }
            (Self::Computer { dim, .. }, LoadState::Dim | LoadState::On) => Some(*dim),
            (Self::Computer { bright, .. }, LoadState::Bright) => Some(*bright),
            (Self::Simple { on }, LoadState::On) => Some(*on),
            _ => None,
        }
    }

    /// The draw with the key up: receive for a transmitter, otherwise as [`LoadKind::draw`].
    #[must_use]
    pub fn draw_key_up(&self, state: LoadState) -> Option<Draw> {
        match self {
            Self::Radio { receive, .. } if state.is_on_air() => Some(*receive),
            _ => self.draw(state),
        }
    }

    fn checked(self) -> Result<Self, EnergyError> {
        match self {
            Self::Radio {
                sleep,
                receive,
                transmit,
            } => {
                sleep.checked("the radio asleep")?;
                receive.checked("the radio receiving")?;
                transmit.checked()?;
            }
            Self::Computer { sleep, dim, bright } => {
                sleep.checked("the computer asleep")?;
                dim.checked("the computer, dim")?;
                bright.checked("the computer, bright")?;
            }
            Self::Simple { on } => {
                on.checked("the load")?;
            }
        }
        Ok(self)
    }
}

/// What a load does when its voltage falls below its minimum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BrownOut {
    /// Starts again by itself after `restart_s` (s), what it was doing being lost.
    Restarts {
        /// Time to be ready again, s.
        restart_s: f64,
    },
    /// Stays off until somebody switches it on: at the next activity.
    SwitchesOff,
    /// A transmitter that goes on with less power, W at the antenna connector.
    FoldsBack {
        /// What is left, W.
        rf_power_w: f64,
    },
    /// Goes on as if nothing had happened.
    Continues,
}

/// The inrush when the key goes down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inrush {
    /// Peak current, A.
    pub current_a: f64,
    /// How long it lasts, s.
    pub duration_s: f64,
}

/// A load and how it is wired.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Its id.
    pub id: String,
    /// The id of the source that feeds it.
    pub source: String,
    /// What it draws.
    pub kind: LoadKind,
    /// Resistance of cable and connectors to the source, there and back, mΩ.
    pub cable_mohm: f64,
    /// A converter at the end of the cable, if there is one.
    pub converter: Option<Converter>,
    /// A fuse in the cable, if there is one.
    pub fuse: Option<Fuse>,
    /// Least voltage at the end of the cable at which it works, V.
    pub minimum_v: f64,
    /// Dips shorter than this pass unnoticed, s.
    pub rides_through_s: f64,
    /// What it does below the minimum.
    pub brown_out: BrownOut,
    /// Inrush at the start of a transmission, if there is one.
    pub inrush: Option<Inrush>,
    /// Its state outside the listed activities.
    pub idle_state: LoadState,
}

impl Load {
    /// The load, if its numbers make sense.
    ///
    /// # Errors
    /// [`EnergyError::OutOfRange`] for a number out of range, [`EnergyError::NoSuchState`] for an idle state it lacks.
    pub fn checked(self) -> Result<Self, EnergyError> {
        self.kind.checked()?;
        within(format!("cable of {} (mΩ)", self.id), self.cable_mohm, 0.0, 10_000.0)?;
        within(format!("least voltage of {} (V)", self.id), self.minimum_v, 0.0, 100.0)?;
        within(
            format!("ride-through of {} (s)", self.id),
            self.rides_through_s,
            0.0,
            60.0,
        )?;
        if let Some(inrush) = self.inrush {
            within(format!("inrush of {} (A)", self.id), inrush.current_a, 0.0, 500.0)?;
            within(
                format!("inrush duration of {} (s)", self.id),
                inrush.duration_s,
                0.0,
                10.0,
            )?;
        }
        match self.brown_out {
            BrownOut::Restarts { restart_s } => {
                within(format!("restart time of {} (s)", self.id), restart_s, 0.0, 86_400.0)?;
            }
            BrownOut::FoldsBack { rf_power_w } => {
                within(format!("fold-back power of {} (W)", self.id), rf_power_w, 0.0, 1000.0)?;
            }
            BrownOut::SwitchesOff | BrownOut::Continues => {}
        }
        self.check_state(self.idle_state)?;
        Ok(self)
    }

    /// That the load has the state, with sensible numbers.
    ///
    /// # Errors
    /// [`EnergyError::NoSuchState`], or [`EnergyError::OutOfRange`] for a power outside 0 to 1000 W or a duty outside 0 to 1.
    pub(crate) fn check_state(&self, state: LoadState) -> Result<(), EnergyError> {
        if self.kind.draw(state).is_none() {
            return Err(EnergyError::NoSuchState {
                load: self.id.clone(),
                state: state.name().to_owned(),
            });
        }
        if let LoadState::Transmit { rf_power_w, duty } = state {
            within(format!("power of {} (W)", self.id), rf_power_w, 0.0, 1000.0)?;
            within(format!("duty of {}", self.id), duty, 0.0, 1.0)?;
        }
        if let LoadState::Tune { rf_power_w } = state {
            within(format!("tuning power of {} (W)", self.id), rf_power_w, 0.0, 1000.0)?;
        }
        Ok(())
    }

    /// The least voltage at the end of the cable: the load's own or its converter's, V.
    #[must_use]
    pub fn least_v(&self) -> f64 {
        self.converter
            .map_or(self.minimum_v, |c| c.min_input_v().max(self.minimum_v))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn radio() -> Load {
        Load {
            id: "radio".to_owned(),
            source: "main".to_owned(),
            kind: LoadKind::Radio {
                sleep: Draw::Current(0.02),
                receive: Draw::Current(0.35),
                transmit: TransmitDraw {
                    overhead_w: 5.0,
                    efficiency: 0.5,
                    as_current_at_v: Some(12.0),
                },
            },
            cable_mohm: 60.0,
            converter: None,
            fuse: None,
            minimum_v: 10.5,
            rides_through_s: 0.0,
            brown_out: BrownOut::SwitchesOff,
            inrush: None,
            idle_state: LoadState::Receive,
        }
    }

    #[test]
    fn five_watts_draw_what_the_efficiency_says() {
        let radio = radio().checked().unwrap();
        let state = LoadState::Transmit {
            rf_power_w: 5.0,
            duty: 0.6,
        };
        assert_eq!(radio.kind.draw(state), Some(Draw::Current(1.25)));
        assert_eq!(radio.kind.draw_key_up(state), Some(Draw::Current(0.35)));
        assert_eq!(radio.kind.draw(LoadState::Off), Some(Draw::Power(0.0)));
    }

    #[test]
    fn refuses_states_it_lacks_and_nonsense() {
        assert!(
            Load {
                idle_state: LoadState::Bright,
                ..radio()
            }
            .checked()
            .is_err()
        );
        assert!(
            Load {
                cable_mohm: f64::NAN,
                ..radio()
            }
            .checked()
            .is_err()
        );
        assert!(
            radio()
                .check_state(LoadState::Transmit {
                    rf_power_w: 5.0,
                    duty: 1.5
                })
                .is_err()
        );
        assert!(
            radio()
                .check_state(LoadState::Transmit {
                    rf_power_w: 0.0,
                    duty: 0.5
                })
                .is_ok()
        );
    }
}
