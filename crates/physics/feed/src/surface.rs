//! Many antenna samples from few antenna solutions.
//!
//! Seven solutions (nominal, and each of height, length and ground moved both ways) carry a quadratic in each direction for
//! ln R, X and efficiency; the directions add. The stated sizes are read as the 10 and 90 % points of a normal
//! spread, and five points of equal chance in each direction (the 10, 30, 50, 70 and 90 % points) give 125 samples that
//! all lie between the solutions, never beyond. Interaction between the directions is left out.

use crate::chain::AntennaFeed;
use crate::error::{FeedError, not_negative, passive, within};
use crate::robustness::Sample;
use farhop_num::maths;
use num_complex::Complex64;

/// How the antenna differs from plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Variation {
    /// Height over planned height (dimensionless).
    pub height_factor: f64,
    /// Wire length over planned length (dimensionless).
    pub length_factor: f64,
    /// Ground classes towards wetter (dimensionless; negative is drier).
    pub ground_step: f64,
}

impl Variation {
    /// Everything as planned.
    pub const NONE: Self = Self {
        height_factor: 1.0,
        length_factor: 1.0,
        ground_step: 0.0,
    };
}

/// How far things may be off: the 10 and 90 % points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VariationSize {
    /// Share of height (dimensionless, 0 to below 1).
    pub height: f64,
    /// Share of wire length (dimensionless, 0 to below 1).
    pub length: f64,
    /// Ground classes (dimensionless, 0 or more).
    pub ground: f64,
}

impl VariationSize {
    /// 10 % of height, 1 % of length, one ground class. Own choice, from field practice.
    pub const FIELD: Self = Self {
        height: 0.10,
        length: 0.01,
        ground: 1.0,
    };

    fn check(self) -> Result<Self, FeedError> {
        let share = |v: f64| (0.0..1.0).contains(&v);
        within("height variation", self.height, "from 0 to below 1", share)?;
        within("length variation", self.length, "from 0 to below 1", share)?;
        not_negative("ground variation (classes)", self.ground)?;
        Ok(self)
    }

    /// The variation at a position of −1 to 1 in each direction: height, length, ground (dimensionless).
    #[must_use]
    pub fn at(&self, position: [f64; 3]) -> Variation {
        Variation {
            height_factor: 1.0 + self.height * position[0],
            length_factor: 1.0 + self.length * position[1],
            ground_step: self.ground * position[2],
        }
    }

    /// The seven variations that [`Surface::build`] asks for, in its order.
    #[must_use]
    pub fn star(&self) -> [Variation; 7] {
        STAR.map(|position| self.at(position))
    }
}

const STAR: [[f64; 3]; 7] = [
    [0.0, 0.0, 0.0],
    [-1.0, 0.0, 0.0],
    [1.0, 0.0, 0.0],
    [0.0, -1.0, 0.0],
    [0.0, 1.0, 0.0],
    [0.0, 0.0, -1.0],
    [0.0, 0.0, 1.0],
];

/// Normal quantiles at 10, 30, 50, 70, 90 % over the 90 % quantile (1.2816): points of equal chance.
const LEVELS: [f64; 5] = [-1.0, -0.409_2, 0.0, 0.409_2, 1.0];

/// ln R, X in Ω, efficiency.
type Features = [f64; 3];

/// The seven solutions as a smooth model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    centre: Features,
    /// Slope and curvature in each direction.
    direction: [(Features, Features); 3],
}

fn features(feed: AntennaFeed) -> Features {
    [maths::ln(feed.impedance_ohm.re), feed.impedance_ohm.im, feed.efficiency]
}

impl Surface {
    /// Solves the antenna seven times through `solve`.
    ///
    /// # Errors
    /// [`FeedError::Antenna`] with what the solution said, [`FeedError::BadImpedance`] for a solution without positive
    /// resistance, [`FeedError::BadValue`] for bad sizes.
    pub fn build(
        size: VariationSize,
        mut solve: impl FnMut(Variation) -> Result<AntennaFeed, String>,
    ) -> Result<Self, FeedError> {
        let mut feeds = [AntennaFeed {
            impedance_ohm: Complex64::ONE,
            efficiency: 0.0,
        }; 7];
        for (feed, variation) in feeds.iter_mut().zip(size.check()?.star()) {
            *feed = solve(variation).map_err(|reason| FeedError::Antenna {
                what: format!("{variation:?}"),
                reason,
            })?;
        }
        Self::from_star(feeds)
    }

    /// From seven solutions in the order of [`VariationSize::star`].
    ///
    /// # Errors
    /// [`FeedError::BadImpedance`] for a solution without positive resistance, [`FeedError::BadValue`] for an
    /// efficiency outside 0 to 1.
    pub(crate) fn from_star(feeds: [AntennaFeed; 7]) -> Result<Self, FeedError> {
        for feed in feeds {
            passive("the varied antenna", feed.impedance_ohm)?;
            within("antenna efficiency", feed.efficiency, "from 0 to 1", |v| {
                (0.0..=1.0).contains(&v)
            })?;
        }
        let [centre, low_a, high_a, low_b, high_b, low_c, high_c] = feeds.map(features);
        let quadratic = |low: Features, high: Features| {
            let slope = [0, 1, 2].map(|k: usize| (high[k] - low[k]) / 2.0);
            let curve = [0, 1, 2].map(|k: usize| (high[k] + low[k]) / 2.0 - centre[k]);
            (slope, curve)
        };
        let direction = [
            quadratic(low_a, high_a),
            quadratic(low_b, high_b),
            quadratic(low_c, high_c),
        ];
        Ok(Self { centre, direction })
    }

    /// The antenna at a position of −1 to 1 in each direction: height, length, ground (dimensionless).
    #[must_use]
    pub fn at(&self, position: [f64; 3]) -> AntennaFeed {
        let mut sum = self.centre;
        for (t, (slope, curve)) in position.into_iter().zip(self.direction) {
            for ((total, a), b) in sum.iter_mut().zip(slope).zip(curve) {
                *total += t * a + t * t * b;
            }
        }
        AntennaFeed {
            impedance_ohm: Complex64::new(maths::exp(sum[0]), sum[1]),
            efficiency: sum[2].clamp(0.0, 1.0),
        }
    }

    /// The planned antenna.
    #[must_use]
    pub fn nominal(&self) -> AntennaFeed {
        self.at([0.0; 3])
    }

    /// 125 samples of equal weight.
    #[must_use]
    pub fn samples(&self) -> Vec<Sample> {
        let mut samples = Vec::with_capacity(125);
        for height in LEVELS {
            for length in LEVELS {
                for ground in LEVELS {
                    samples.push(Sample {
                        antenna: self.at([height, length, ground]),
                        weight: 1.0,
                    });
                }
            }
        }
        samples
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An invented antenna: ln R and X quadratic in each direction, without interaction.
    fn invented(v: Variation) -> AntennaFeed {
        let (h, l, g) = (v.height_factor - 1.0, v.length_factor - 1.0, v.ground_step);
        AntennaFeed {
            impedance_ohm: Complex64::new(
                (3.0 + 2.0 * h - h * h + 9.0 * l + 0.1 * g).exp(),
                -80.0 + 5000.0 * l + 40.0 * h,
            ),
            efficiency: 0.6 + h * 0.2 - 0.03 * g,
        }
    }

    #[test]
    fn exact_where_directions_do_not_interact() {
        let size = VariationSize::FIELD;
        let surface = Surface::build(size, |v| Ok(invented(v))).unwrap();
        for position in [[0.3, -0.7, 0.9], [-1.0, 1.0, -0.2], [0.0, 0.0, 0.0]] {
            let (got, want) = (surface.at(position), invented(size.at(position)));
            assert!((got.impedance_ohm - want.impedance_ohm).norm() < 1e-9);
            assert!((got.efficiency - want.efficiency).abs() < 1e-12);
        }
        assert_eq!(surface.samples().len(), 125);
    }

    #[test]
    fn levels_are_the_points_of_equal_chance() {
        // Normal quantiles from tables: 70 % 0.524401, 90 % 1.281552.
        assert!((LEVELS[3] - 0.524_401 / 1.281_552).abs() < 1e-4);
    }

    #[test]
    fn failures_name_the_variation() {
        let failed = Surface::build(VariationSize::FIELD, |v| {
            if v.height_factor < 1.0 {
                Err("wire touches the ground".into())
            } else {
                Ok(invented(v))
            }
        });
        let text = failed.unwrap_err().to_string();
        assert!(
            text.contains("height_factor: 0.9") && text.contains("touches"),
            "{text}"
        );
        let no_resistance = AntennaFeed {
            impedance_ohm: Complex64::new(0.0, 5.0),
            efficiency: 0.5,
        };
        assert!(Surface::build(VariationSize::FIELD, |_| Ok(no_resistance)).is_err());
        assert!(
            Surface::build(
                VariationSize {
                    height: 1.0,
                    ..VariationSize::FIELD
                },
                |v| Ok(invented(v))
            )
            .is_err()
        );
        assert!(
            Surface::build(
                VariationSize {
                    ground: f64::NAN,
                    ..VariationSize::FIELD
                },
                |v| Ok(invented(v))
            )
            .is_err()
        );
    }
}
