//! Why something of an outing cannot be worked out: what, where, and what to do.

use farhop_antenna::AntennaError;
use farhop_antenna::declared::DeclaredError;
use farhop_energy::EnergyError;
use farhop_exposure::ExposureError;
use farhop_feed::FeedError;
use farhop_kit::KitError;
use farhop_message::MessageError;
use farhop_propagation::noise::{MeasuredError, ReceiverError};

use crate::setting::SettingError;

/// Why something of an outing cannot be worked out.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// The sky of its dates cannot be forecast.
    #[error(transparent)]
    Setting(#[from] SettingError),
    /// Measures make no antenna, or it has no solution.
    #[error(transparent)]
    Antenna(#[from] AntennaError),
    /// The closed form of an antenna does not reach there.
    #[error(transparent)]
    Declared(#[from] DeclaredError),
    /// Line, transformer, tuner or transmitter.
    #[error(transparent)]
    Feed(#[from] FeedError),
    /// Battery, load, panel or sun.
    #[error(transparent)]
    Energy(#[from] EnergyError),
    /// The graph of the kit.
    #[error(transparent)]
    Kit(#[from] KitError),
    /// Fields and limits around an antenna.
    #[error(transparent)]
    Exposure(#[from] ExposureError),
    /// The link's ladder or session.
    #[error(transparent)]
    Message(#[from] MessageError),
    /// A receiver's figures.
    #[error(transparent)]
    Receiver(#[from] ReceiverError),
    /// A reading of noise.
    #[error(transparent)]
    Measured(#[from] MeasuredError),
    /// Something of the outing by its name, and what is wrong with it.
    #[error("{place}: {cause}")]
    At {
        /// Which thing: `battery main`, `skyline of Kea ridge`.
        place: String,
        /// What is wrong with it.
        cause: Box<PlanError>,
    },
    /// The site that was asked for is not in the outing.
    #[error("--site {asked}: no such site; this outing has {}", known.join(", "))]
    NoSuchSite {
        /// What was asked for.
        asked: String,
        /// Ids of the sites there are.
        known: Vec<String>,
    },
    /// The station that was asked for is not in the outing.
    #[error("--station {asked}: no such station; this outing has {}", known.join(", "))]
    NoSuchStation {
        /// What was asked for.
        asked: String,
        /// Ids of the stations there are.
        known: Vec<String>,
    },
    /// Nobody waits for the answer any more.
    #[error("the work was stopped")]
    Stopped,
    /// The outing has ended at the instant from which it is looked at.
    #[error("the outing is over")]
    Over,
    /// The outing has no place.
    #[error("the outing has no site")]
    NoSite,
    /// What is left of the outing does not hold together.
    #[error("{0}")]
    Unsound(String),
    /// Something is fed by what is not carried.
    #[error("{what} hangs on {on}, which stays at home")]
    StaysAtHome {
        /// What is fed.
        what: String,
        /// By what.
        on: String,
    },
    /// Nothing feeds the station.
    #[error("no battery is carried: give the kit a battery, or let its part be carried")]
    NoBattery,
    /// The feed line of an antenna is not in the kit.
    #[error("its feed line {0} is not in the kit")]
    NoSuchLine(String),
    /// The feed line of an antenna is not carried.
    #[error("its feed line {0} stays at home")]
    LineStaysAtHome(String),
    /// An antenna stands for itself by a closed form: it has no wires.
    #[error("{0} is declared, not built of wires")]
    NotBuilt(String),
    /// An antenna stands for itself by a closed form: there is no field near it.
    #[error("the outing declares how it works, so that there is no wire to compute")]
    NoWire,
    /// The engine's numbers leave the finite.
    #[error("its measures have no finite solution; look for a number far from any real one")]
    NoFiniteSolution,
    /// A small loop is tuned where it stands: what hangs otherwise is taken up by that.
    #[error("the loop is tuned and coupled anew on the spot")]
    TunedOnTheSpot,
    /// An antenna has no such measure to change.
    #[error("{0}")]
    NothingToChange(&'static str),
    /// A change takes more than there is.
    #[error("no {0} would be left")]
    NothingLeft(&'static str),
    /// Nobody asked for this part of the analysis.
    #[error("the {0} was not asked for")]
    NotAsked(&'static str),
    /// The days of the plan itself were asked for.
    #[error("seed {0}: the plan itself was made with these days, so that they prove nothing; give another one")]
    DaysOfThePlan(u64),
    /// A count of days outside what makes sense.
    #[error("{days} days: give a number from {fewest} to {most}")]
    Days {
        /// What was asked for.
        days: usize,
        /// Fewest days.
        fewest: usize,
        /// Most days.
        most: usize,
    },
}

impl PlanError {
    /// Says of which thing something is wrong.
    pub fn at(place: impl Into<String>) -> impl FnOnce(Self) -> Self {
        let place = place.into();
        move |cause| Self::At {
            place,
            cause: Box::new(cause),
        }
    }
}
