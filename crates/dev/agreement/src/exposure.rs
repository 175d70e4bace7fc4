//! Agreement of exposure distances with printed tables, a closed-form walk, and NEC-2.

use std::path::Path;

use farhop_exposure::dipole::ThinDipole;
use farhop_exposure::far_field::{GROUND_USUAL, distance_m};
use farhop_exposure::limit::{Population, Rule, limits};
use farhop_exposure::profile::{NearProfile, Reach, Sending};
use farhop_exposure::search::{FieldAtWatt, profile};
use farhop_exposure::shape::Piece;

use crate::row::{fail, table};
use crate::{AgreementError, Row, Spread};

const AREA: &str = "exposure";
/// The printed tables have one decimal of a metre.
const TABLE_ROUNDING_M: f64 = 0.05;

/// Rule and population of the distance columns of a walk.
const COLUMNS: [(Rule, Population); 4] = [
    (Rule::Fcc, Population::Controlled),
    (Rule::Fcc, Population::Public),
    (Rule::IcnirpWholeBody, Population::Controlled),
    (Rule::IcnirpWholeBody, Population::Public),
];

/// The rows of exposure.
///
/// # Errors
/// A vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/exposure");
    let mut rows = vec![supplement_b(&folder)?];
    rows.extend(dipole_walk(&folder)?);
    rows.extend(nec::rows(&folder)?);
    Ok(rows)
}

fn number(row: &csv::StringRecord, column: usize) -> Result<f64, AgreementError> {
    let text = row.get(column).unwrap_or_default();
    text.parse().map_err(|_| fail(format!("\"{text}\" is not a number")))
}

fn supplement_b(folder: &Path) -> Result<Row, AgreementError> {
    let mut errors = Vec::new();
    for row in table(folder, "supplement_b.csv")? {
        let eirp_w = number(&row, 2)? * 10f64.powf(number(&row, 1)? / 10.0);
        for (population, column) in [(Population::Controlled, 3), (Population::Public, 4)] {
            let all = limits(number(&row, 0)?, population).map_err(fail)?;
            let limit = all
                .iter()
                .find(|l| l.rule == Rule::Fcc)
                .and_then(|l| l.density_w_per_m2);
            let got = distance_m(eirp_w, GROUND_USUAL, limit.unwrap_or(f64::NAN)).map_err(fail)?;
            errors.push((got - number(&row, column)?).abs());
        }
    }
    let spread = Spread::of(errors);
    Ok(Row {
        area: AREA,
        what: "far-field distance, difference".into(),
        against: "OET Bulletin 65 Supplement B, Table 4 (from memory), printed to 0.1 m".into(),
        met: Some(spread.n > 0 && spread.worst <= TABLE_ROUNDING_M + 1e-9),
        spread,
        unit: "m",
        bar: format!("worst <= {TABLE_ROUNDING_M} m"),
    })
}

/// Distances of a walk against those of a profile: ratios where one was found, and by how much the told one falls short.
struct Compared {
    ratios: Vec<f64>,
    short_m: Vec<f64>,
}

impl Compared {
    fn add(
        &mut self,
        profile: &NearProfile,
        row: &csv::StringRecord,
        at: (f64, f64, usize),
    ) -> Result<(), AgreementError> {
        let sending = Sending {
            freq_mhz: at.0,
            power_w: at.1,
            key_share: 1.0,
            longest_min: f64::INFINITY,
        };
        for (i, (rule, population)) in COLUMNS.into_iter().enumerate() {
            let want = number(row, at.2 + i)?;
            let got = profile.keep_out(&sending, population, |r| r == rule).map_err(fail)?;
            let got = got.ok_or_else(|| fail("no distance"))?;
            self.short_m.push((want - got.told_m()).max(0.0));
            if got.reach != Reach::Nearer {
                self.ratios.push(got.distance_m / want);
            }
        }
        Ok(())
    }

    fn rows(self, what: &str, against: &str, (low, high): (f64, f64)) -> Vec<Row> {
        let (ratios, short) = (Spread::of(self.ratios.clone()), Spread::of(self.short_m));
        let inside = self.ratios.iter().all(|r| (low..=high).contains(r));
        vec![
            Row {
                area: AREA,
                what: format!("{what}: distance, ratio"),
                against: against.into(),
                met: Some(ratios.n > 0 && inside),
                spread: ratios,
                unit: "ratio",
                bar: format!("{low} to {high}"),
            },
            Row {
                area: AREA,
                what: format!("{what}: distance told too short by"),
                against: against.into(),
                met: Some(short.n > 0 && short.worst <= 1e-9),
                spread: short,
                unit: "m",
                bar: "worst <= 0 m".into(),
            },
        ]
    }
}

fn dipole_walk(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let mut compared = Compared {
        ratios: Vec::new(),
        short_m: Vec::new(),
    };
    for row in table(folder, "dipole_walk.csv")? {
        let (freq_mhz, height_m) = (number(&row, 0)?, number(&row, 1)?);
        let half_m = 299.792_458 / freq_mhz / 4.0;
        let pieces = [Piece {
            from_m: [-half_m, 0.0, height_m],
            to_m: [half_m, 0.0, height_m],
        }];
        let wire = ThinDipole {
            length_m: 2.0 * half_m,
            freq_mhz,
            current_a: (1.0f64 / 73.13).sqrt(),
        };
        let field = |p: &[f64; 3]| {
            let (e_v_per_m, h_a_per_m) = wire.fields(p[1].hypot(p[2] - height_m), p[0]);
            FieldAtWatt { e_v_per_m, h_a_per_m }
        };
        let profile = profile(&pieces, |points| points.iter().map(field).collect()).map_err(fail)?;
        compared.add(&profile, &row, (freq_mhz, number(&row, 2)?, 3))?;
    }
    let against = "brute-force walk in the closed-form field of a half-wave dipole (numpy)";
    Ok(compared.rows("search around a dipole", against, (0.95, 1.1)))
}

mod nec {
    use farhop_antenna::geometry::{Circuit, Load};
    use farhop_antenna::near_field::near_fields;
    use farhop_antenna::solve::solve;
    use farhop_antenna::vec3::Vec3;
    use farhop_antenna::{Antenna, Conductor, Ground, Source, Wire};

    use super::{AgreementError, Compared, FieldAtWatt, Path, Piece, Row, fail, number, profile, table};

    pub(super) fn rows(folder: &Path) -> Result<Vec<Row>, AgreementError> {
        let mut compared = Compared {
            ratios: Vec::new(),
            short_m: Vec::new(),
        };
        for row in table(folder, "nec2_walk.csv")? {
            let (name, freq_mhz) = (row.get(0).unwrap_or_default(), number(&row, 1)?);
            let antenna = antenna(name, number(&row, 3)?)?;
            let currents = solve(&antenna, freq_mhz).map_err(fail)?;
            let piece = |w: &Wire| Piece {
                from_m: w.p1_m,
                to_m: w.p2_m,
            };
            let pieces: Vec<Piece> = antenna.wires.iter().map(piece).collect();
            let fields = |points: &[Vec3]| {
                let near = near_fields(&currents, points, 1.0);
                let one = |f: &farhop_antenna::near_field::NearField| FieldAtWatt {
                    e_v_per_m: f.e_total_v_per_m(),
                    h_a_per_m: f.h_total_a_per_m(),
                };
                near.iter().map(one).collect()
            };
            let profile = profile(&pieces, fields).map_err(fail)?;
            compared.add(&profile, &row, (freq_mhz, number(&row, 2)?, 5))?;
        }
        let against = "brute-force walk in near fields of NEC-2 (PyNEC 2.3.4): dipoles and small loops";
        Ok(compared.rows("engine and search", against, (0.9, 1.15)))
    }

    /// The antennas of `make_exposure.py`.
    fn antenna(name: &str, capacitor_pf: f64) -> Result<Antenna, AgreementError> {
        let straight = |half_m: f64, z: f64| vec![([-half_m, 0.0, z], [half_m, 0.0, z])];
        let (pieces, radius_m, ground): (Vec<(Vec3, Vec3)>, f64, Ground) = match name {
            "dipole_low" => (straight(10.1, 1.8), 0.0005, Ground::Perfect),
            "dipole_free" => (straight(5.1, 1.5), 0.0005, Ground::Free),
            "loop_free" => (polygon(0.95, 1.0), 0.005, Ground::Free),
            "loop_ground" => (polygon(0.95, 0.8), 0.005, Ground::Perfect),
            _ => return Err(fail(format!("no antenna {name}"))),
        };
        let wires: Vec<Wire> = pieces
            .iter()
            .map(|(a, b)| Wire::new(*a, *b, radius_m, Conductor::COPPER))
            .collect();
        let capacitor = Load {
            wire: 6,
            position: 0.5,
            circuit: Circuit::Series {
                r_ohm: 0.0,
                l_h: 0.0,
                c_f: capacitor_pf * 1e-12,
            },
        };
        Ok(Antenna {
            loads: if wires.len() > 6 { vec![capacitor] } else { Vec::new() },
            wires,
            sources: vec![Source::middle_of(0)],
            ground,
        })
    }

    /// A loop as a polygon of twelve sides with the perimeter of its circle.
    fn polygon(diameter_m: f64, height_m: f64) -> Vec<(Vec3, Vec3)> {
        let step = std::f64::consts::PI / 6.0;
        let radius_m = diameter_m / 2.0 * (step / 2.0) / (step / 2.0).sin();
        let centre_m = height_m + radius_m * (step / 2.0).cos();
        let corner = |i: u32| {
            let angle = -std::f64::consts::FRAC_PI_2 + (f64::from(i) - 0.5) * step;
            [radius_m * angle.cos(), 0.0, centre_m + radius_m * angle.sin()]
        };
        (0..12).map(|i| (corner(i), corner(i + 1))).collect()
    }
}
