//! What stands in the way most.

/// The obstacle whose removal would help the chance most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// Nothing worth naming: the chance is high.
    Nothing,
    /// The station does not listen then.
    NotServed,
    /// The frequency is above what the layer carries on most days.
    AboveMuf {
        /// Chance (dimensionless) that the layer supports the best mode.
        support: f64,
    },
    /// The daylight D region eats the signal.
    Absorption {
        /// Absorption of the best mode, dB.
        absorption_db: f64,
    },
    /// Aurora or polar cap.
    Aurora {
        /// Loss, dB.
        auroral_db: f64,
    },
    /// The skyline at the site cuts the ray.
    Horizon {
        /// Loss, dB.
        horizon_db: f64,
    },
    /// Noise where the station listens: the small station is not heard.
    NoiseAtStation,
    /// Noise at the site: the operator does not hear the station.
    NoiseAtSite,
    /// The antenna sends little toward where the mode leaves.
    Antenna {
        /// Gain toward the best mode, dBi.
        gain_dbi: f64,
    },
    /// Spreading and the usual losses of a long way on little power.
    Distance,
    /// Beyond what the model is made for.
    OutsideModel,
}

/// Loss from which a single term is named as the limit, dB (a judgement: half an S unit is hard to notice, two are plain).
pub(crate) const NAMED_LOSS_DB: f64 = 10.0;
/// Chance above which no limit is named (dimensionless), the upper bound of "likely".
pub(crate) const HIGH_CHANCE: f64 = 0.9;
/// Gain below which the antenna is named, dBi (a judgement: 10 dB below a modest dipole).
pub(crate) const POOR_GAIN_DBI: f64 = -8.0;

/// What the choice of a limit looks at.
#[derive(Clone, Copy, Debug)]
pub struct LimitInputs {
    /// Chance of the cell (dimensionless).
    pub chance: f64,
    /// Chance of the way to the station alone (dimensionless).
    pub forward: f64,
    /// Chance of the way back alone (dimensionless).
    pub reverse: f64,
    /// Support of the strongest mode (dimensionless).
    pub support: f64,
    /// Absorption of the strongest mode, dB.
    pub absorption_db: f64,
    /// Auroral loss of the strongest mode, dB.
    pub auroral_db: f64,
    /// Horizon loss of the strongest mode, dB.
    pub horizon_db: f64,
    /// Gain of the site's antenna toward the strongest mode, dBi.
    pub site_gain_dbi: f64,
}

/// Names the limit: first what closes the path, then the largest single loss, then which end hears worse.
#[must_use]
pub fn limit(inputs: &LimitInputs) -> Limit {
    if inputs.chance > HIGH_CHANCE {
        return Limit::Nothing;
    }
    if inputs.support < 0.7 && inputs.support < inputs.forward.min(inputs.reverse) + 0.25 {
        return Limit::AboveMuf {
            support: inputs.support,
        };
    }
    let losses = [
        (
            inputs.absorption_db,
            Limit::Absorption {
                absorption_db: inputs.absorption_db,
            },
        ),
        (
            inputs.auroral_db,
            Limit::Aurora {
                auroral_db: inputs.auroral_db,
            },
        ),
        (
            inputs.horizon_db,
            Limit::Horizon {
                horizon_db: inputs.horizon_db,
            },
        ),
        (
            if inputs.site_gain_dbi < POOR_GAIN_DBI {
                -inputs.site_gain_dbi
            } else {
                0.0
            },
            Limit::Antenna {
                gain_dbi: inputs.site_gain_dbi,
            },
        ),
    ];
    let largest = losses.into_iter().max_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((loss_db, limit)) = largest
        && loss_db >= NAMED_LOSS_DB
    {
        return limit;
    }
    if inputs.support < 0.7 {
        return Limit::AboveMuf {
            support: inputs.support,
        };
    }
    if inputs.forward + 0.05 < inputs.reverse {
        Limit::NoiseAtStation
    } else if inputs.reverse + 0.05 < inputs.forward {
        Limit::NoiseAtSite
    } else {
        Limit::Distance
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const OPEN: LimitInputs = LimitInputs {
        chance: 0.5,
        forward: 0.7,
        reverse: 0.7,
        support: 1.0,
        absorption_db: 2.0,
        auroral_db: 0.0,
        horizon_db: 0.0,
        site_gain_dbi: 3.0,
    };

    #[test]
    fn each_obstacle_is_named_when_it_is_the_one() {
        assert_eq!(limit(&LimitInputs { chance: 0.95, ..OPEN }), Limit::Nothing);
        assert!(matches!(
            limit(&LimitInputs { support: 0.3, ..OPEN }),
            Limit::AboveMuf { .. }
        ));
        assert!(matches!(
            limit(&LimitInputs {
                absorption_db: 30.0,
                ..OPEN
            }),
            Limit::Absorption { .. }
        ));
        assert!(matches!(
            limit(&LimitInputs {
                horizon_db: 14.0,
                ..OPEN
            }),
            Limit::Horizon { .. }
        ));
        assert!(matches!(
            limit(&LimitInputs {
                site_gain_dbi: -17.0,
                ..OPEN
            }),
            Limit::Antenna { .. }
        ));
        assert_eq!(limit(&LimitInputs { forward: 0.4, ..OPEN }), Limit::NoiseAtStation);
        assert_eq!(limit(&LimitInputs { reverse: 0.4, ..OPEN }), Limit::NoiseAtSite);
        assert_eq!(limit(&OPEN), Limit::Distance);
    }

    #[test]
    fn the_borders_of_each_obstacle_are_where_they_are_said_to_be() {
        let named = |inputs: LimitInputs| limit(&inputs);
        assert_eq!(
            named(LimitInputs {
                chance: HIGH_CHANCE,
                ..OPEN
            }),
            Limit::Distance
        );
        // Ten decibels are named, less are not; of two losses the larger one.
        let loss = |absorption_db, auroral_db| LimitInputs {
            absorption_db,
            auroral_db,
            ..OPEN
        };
        assert!(matches!(named(loss(10.0, 0.0)), Limit::Absorption { .. }));
        assert_eq!(named(loss(9.9, 0.0)), Limit::Distance);
        assert!(matches!(named(loss(11.0, 12.0)), Limit::Aurora { auroral_db } if auroral_db == 12.0));
        // A gain of eight below is poor only from there, and named as a loss of its own size.
        let gain = |site_gain_dbi| LimitInputs { site_gain_dbi, ..OPEN };
        assert_eq!(named(gain(-8.0)), Limit::Distance);
        assert!(matches!(named(gain(-10.0)), Limit::Antenna { .. }));
        // What closes the path comes before a loss, unless the ways work better than it lets them.
        let closed = |support, forward, absorption_db| LimitInputs {
            support,
            forward,
            absorption_db,
            ..OPEN
        };
        assert!(matches!(named(closed(0.69, 0.5, 30.0)), Limit::AboveMuf { .. }));
        assert!(matches!(named(closed(0.70, 0.5, 30.0)), Limit::Absorption { .. }));
        assert!(matches!(named(closed(0.69, 0.4, 30.0)), Limit::Absorption { .. }));
        assert!(matches!(named(closed(0.69, 0.4, 2.0)), Limit::AboveMuf { .. }));
        // Five points apart the ends hear about as well as each other.
        let ways = |forward, reverse| LimitInputs {
            forward,
            reverse,
            ..OPEN
        };
        assert_eq!(named(ways(0.70, 0.74)), Limit::Distance);
        assert_eq!(named(ways(0.70, 0.76)), Limit::NoiseAtStation);
        assert_eq!(named(ways(0.76, 0.70)), Limit::NoiseAtSite);
        assert_eq!(named(ways(0.74, 0.70)), Limit::Distance);
    }
}
