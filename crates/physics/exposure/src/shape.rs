//! An antenna as straight pieces, and people as columns two metres high beside it.

use farhop_num::golden_section;
use farhop_num::maths;

/// A point, metres: x and y along the ground, z up.
pub type Point = [f64; 3];

/// Height of the column that stands for a person, metres: everything from the ground to here may be a head, a hand or a child.
pub(crate) const BODY_M: f64 = 2.0;

/// A straight piece of wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// One end, metres.
    pub from_m: Point,
    /// The other end, metres.
    pub to_m: Point,
}

impl Piece {
    /// The point at the dimensionless fraction 0 to 1.
    #[must_use]
    pub fn point_m(&self, fraction: f64) -> Point {
        let (a, b) = (self.from_m, self.to_m);
        [0, 1, 2].map(|i| a[i] + fraction * (b[i] - a[i]))
    }

    /// Length, metres.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        apart_m(self.from_m, self.to_m)
    }

    /// Distance from a standing person at x, y (metres): from the nearest point of the column to the nearest of the piece.
    #[must_use]
    pub(crate) fn clearance_m(&self, x_m: f64, y_m: f64) -> f64 {
        // The squared distance from a convex set is convex along a line: search by the golden section.
        let at = |t: f64| {
            let p = self.point_m(t);
            let over = (p[2] - BODY_M).max(-p[2]).max(0.0);
            let (dx, dy) = (p[0] - x_m, p[1] - y_m);
            (dx * dx + dy * dy + over * over).sqrt()
        };
        let nearest = golden_section(0.0, 1.0, 1e-7, at);
        at(nearest).min(at(0.0)).min(at(1.0))
    }
}

/// Distance of a standing person at x, y (metres) from the nearest piece; infinite without pieces.
#[must_use]
pub(crate) fn clearance_m(pieces: &[Piece], x_m: f64, y_m: f64) -> f64 {
    pieces
        .iter()
        .map(|p| p.clearance_m(x_m, y_m))
        .fold(f64::INFINITY, f64::min)
}

/// A point of the antenna around which people are put.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// The point, metres.
    pub at_m: Point,
    /// Direction of the wire there, seen from above: a unit vector (dimensionless).
    pub along: [f64; 2],
}

/// Number of stations along an antenna that is aimed at.
const STATIONS_AIM: f64 = 12.0;

/// Points along the antenna: all open ends, and others about a twelfth of the whole length apart.
#[must_use]
pub fn stations(pieces: &[Piece]) -> Vec<Station> {
    let total_m: f64 = pieces.iter().map(Piece::length_m).sum();
    let spacing_m = (total_m / STATIONS_AIM).max(0.05);
    let mut list: Vec<Station> = Vec::new();
    for piece in pieces {
        let ends = [piece.from_m, piece.to_m];
        let open = ends.into_iter().filter(|end| touching(pieces, *end) == 1);
        list.extend(open.map(|at_m| station(piece, at_m)));
    }
    for piece in pieces {
        let count = (piece.length_m() / spacing_m).ceil().clamp(1.0, 60.0) as usize;
        for i in 0..=count {
            let at_m = piece.point_m(i as f64 / count as f64);
            if list.iter().all(|s| apart_m(s.at_m, at_m) >= 0.5 * spacing_m) {
                list.push(station(piece, at_m));
            }
        }
    }
    list
}

fn station(piece: &Piece, at_m: Point) -> Station {
    Station {
        at_m,
        along: plan_direction(piece),
    }
}

/// Number of pieces that end at a point.
fn touching(pieces: &[Piece], point: Point) -> usize {
    let ends = pieces.iter().flat_map(|p| [p.from_m, p.to_m]);
    ends.filter(|end| apart_m(*end, point) < 1e-4).count()
}

fn apart_m(a: Point, b: Point) -> f64 {
    [0, 1, 2].map(|i| (a[i] - b[i]).powi(2)).iter().sum::<f64>().sqrt()
}

/// Direction of a piece seen from above, as a unit vector (dimensionless); x for one that stands upright.
fn plan_direction(piece: &Piece) -> [f64; 2] {
    let d = [0, 1].map(|i| piece.to_m[i] - piece.from_m[i]);
    let length = maths::hypot(d[0], d[1]);
    if length > 1e-6 {
        [d[0] / length, d[1] / length]
    } else {
        [1.0, 0.0]
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn piece(from_m: Point, to_m: Point) -> Piece {
        Piece { from_m, to_m }
    }

    #[test]
    fn clearance_of_plain_cases() {
        let level = piece([0.0, 0.0, 1.0], [10.0, 0.0, 1.0]);
        assert!((level.clearance_m(5.0, 3.0) - 3.0).abs() < 1e-6);
        assert!((level.clearance_m(13.0, 4.0) - 5.0).abs() < 1e-6);
        // Overhead: 4 m above a head of 2 m, 3 m aside.
        let high = piece([0.0, 0.0, 6.0], [10.0, 0.0, 6.0]);
        assert!((high.clearance_m(5.0, 0.0) - 4.0).abs() < 1e-6);
        assert!((high.clearance_m(5.0, 3.0) - 5.0).abs() < 1e-6);
        let upright = piece([0.0, 0.0, 0.1], [0.0, 0.0, 5.0]);
        assert!((upright.clearance_m(0.0, 0.7) - 0.7).abs() < 1e-6);
        assert_eq!(clearance_m(&[], 0.0, 0.0), f64::INFINITY);
    }

    #[test]
    fn every_end_has_a_station() {
        let pieces = [
            piece([0.0, 0.0, 6.5], [0.6, 0.0, 6.5]),
            piece([0.6, 0.0, 6.5], [12.0, 0.0, 1.5]),
            piece([0.0, 0.0, 6.5], [-12.0, 0.0, 1.5]),
        ];
        let stations = stations(&pieces);
        for end in [[12.0, 0.0, 1.5], [-12.0, 0.0, 1.5]] {
            assert!(stations.iter().any(|s| s.at_m == end), "{stations:?}");
        }
        assert!((10..=24).contains(&stations.len()), "{}", stations.len());
    }

    proptest! {
        #[test]
        fn clearance_is_the_least_over_a_fine_grid(
            a in proptest::array::uniform3(0.0f64..8.0), b in proptest::array::uniform3(0.0f64..8.0),
            x in -3.0f64..11.0, y in -3.0f64..11.0,
        ) {
            let p = piece(a, b);
            let mut least = f64::INFINITY;
            for i in 0..=200 {
                let q = p.point_m(f64::from(i) / 200.0);
                for j in 0..=40 {
                    let z = BODY_M * f64::from(j) / 40.0;
                    least = least.min(((q[0] - x).powi(2) + (q[1] - y).powi(2) + (q[2] - z).powi(2)).sqrt());
                }
            }
            let got = p.clearance_m(x, y);
            prop_assert!(got <= least + 1e-9 && got > least - 0.08, "{} {}", got, least);
        }
    }
}
