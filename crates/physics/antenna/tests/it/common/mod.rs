//! Reads the reference cases under `validation/antenna/`.

#![allow(dead_code, reason = "the tests and the table of agreement each use a part")]

pub mod compare;

use std::collections::BTreeMap;
use std::path::Path;

use farhop_antenna::{Antenna, C64, Circuit, Conductor, Ground, Load, Segments, Source, Wire};
use farhop_vectors::Row;

/// A case by name: wires, sources, loads; the ground is set by [`ground`].
#[derive(Clone, Debug)]
pub struct Case {
    /// Name in the tables.
    pub name: String,
    /// Everything but the ground, with the listed segmentation.
    pub antenna: Antenna,
}

/// A table: rows of cells by column name.
pub struct Sheet(Vec<Row>);

impl Sheet {
    /// Reads a table.
    pub fn read(path: &Path) -> Result<Self, String> {
        farhop_vectors::read(path).map(Self).map_err(|e| e.to_string())
    }

    /// All rows as lookups.
    pub fn rows(&self) -> impl Iterator<Item = Line<'_>> {
        self.0.iter().map(Line)
    }
}

/// One row of a table.
#[derive(Clone, Copy)]
pub struct Line<'a>(&'a Row);

impl<'a> Line<'a> {
    /// The text in a column; empty where the table has none of that name.
    pub fn text(&self, column: &str) -> &'a str {
        if self.0.has(column) { self.0.text(column) } else { "" }
    }

    /// The number in a column; NaN where there is none.
    pub fn number(&self, column: &str) -> f64 {
        self.text(column).parse().unwrap_or(f64::NAN)
    }
}

/// All cases of `geometry.csv`, in order.
pub fn cases(folder: &Path) -> Result<Vec<Case>, String> {
    let sheet = Sheet::read(&folder.join("geometry.csv"))?;
    let mut order: Vec<String> = Vec::new();
    let mut by_name: BTreeMap<String, Antenna> = BTreeMap::new();
    for line in sheet.rows() {
        let name = line.text("case").to_string();
        if !by_name.contains_key(&name) {
            order.push(name.clone());
        }
        let antenna = by_name.entry(name).or_insert_with(|| Antenna {
            wires: Vec::new(),
            sources: Vec::new(),
            loads: Vec::new(),
            ground: Ground::Free,
        });
        add_wire(antenna, &line);
    }
    Ok(order
        .into_iter()
        .filter_map(|name| by_name.remove(&name).map(|antenna| Case { name, antenna }))
        .collect())
}

fn add_wire(antenna: &mut Antenna, line: &Line<'_>) {
    let wire = antenna.wires.len();
    let point = |names: [&str; 3]| names.map(|n| line.number(n));
    let sigma = line.number("conductivity_s_per_m");
    antenna.wires.push(Wire {
        p1_m: point(["x1", "y1", "z1"]),
        p2_m: point(["x2", "y2", "z2"]),
        radius_m: line.number("radius_m"),
        segments: Segments::Exactly(line.text("n_segments").parse().unwrap_or(1)),
        conductor: Conductor::from_sigma_s_per_m(Some(sigma).filter(|s| s.is_finite())),
    });
    let volts = line.number("source_v_real");
    if volts.is_finite() {
        antenna.sources.push(Source {
            peak_v: C64::new(volts, 0.0),
            ..Source::middle_of(wire)
        });
    }
    let zero = |name: &str| Some(line.number(name)).filter(|v| v.is_finite()).unwrap_or(0.0);
    let circuit = Circuit::Series {
        r_ohm: zero("series_R_ohm"),
        l_h: zero("series_L_h"),
        c_f: zero("series_C_f"),
    };
    if circuit
        != (Circuit::Series {
            r_ohm: 0.0,
            l_h: 0.0,
            c_f: 0.0,
        })
    {
        antenna.loads.push(Load {
            wire,
            position: 0.5,
            circuit,
        });
    }
}

/// The ground of a row by its name.
pub fn ground(name: &str) -> Ground {
    let real = |eps_r, sigma_s_per_m| Ground::Real { eps_r, sigma_s_per_m };
    match name {
        "avg" => real(13.0, 0.005),
        "poor" => real(5.0, 0.001),
        "good" => real(20.0, 0.03),
        "perfect" => Ground::Perfect,
        _ => Ground::Free,
    }
}

/// A segmentation of the wires.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cut {
    /// The listed numbers.
    Listed,
    /// Twice the listed numbers, plus one on wires with a source or load: the reference's fine one.
    Double,
    /// As a wire list with these numbers is cut: the fine one at least.
    WireList,
    /// Chosen by the program.
    Automatic,
}

/// The antenna of a case over a ground with a segmentation.
pub fn antenna(case: &Case, ground_name: &str, cut: Cut) -> Antenna {
    let mut antenna = case.antenna.clone();
    antenna.ground = ground(ground_name);
    for (index, wire) in antenna.wires.iter_mut().enumerate() {
        let special =
            case.antenna.sources.iter().any(|s| s.wire == index) || case.antenna.loads.iter().any(|l| l.wire == index);
        let Segments::Exactly(listed) = wire.segments else {
            continue;
        };
        let fine = 2 * listed + usize::from(special);
        wire.segments = match cut {
            Cut::Listed => Segments::Exactly(listed),
            Cut::Double => Segments::Exactly(fine),
            Cut::WireList => Segments::AtLeast(fine),
            Cut::Automatic => Segments::Automatic,
        };
    }
    antenna
}
