//! Where the power goes, and the voltages and currents that it makes on the way.

use crate::C64;
use crate::far_field::FarField;
use crate::geometry::Ground;
use crate::solve::Currents;
use farhop_num::maths;

/// Parts of the input power; all dimensionless, they add up to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerSplit {
    /// Radiated into the sky (the whole sphere in free space): the efficiency.
    pub sky: f64,
    /// Lost in the wires.
    pub conductor: f64,
    /// Lost in coils, traps and resistors.
    pub loads: f64,
    /// Lost in the ground: what is missing. In free space and over perfect ground this is the error of the balance.
    pub ground: f64,
}

impl PowerSplit {
    /// The split of solved currents.
    #[must_use]
    pub fn of(currents: &Currents, far: &FarField<'_>) -> Self {
        let input_w = currents.input_w();
        let sky = far.radiated_part();
        let conductor = conductor_loss_w(currents) / input_w;
        let loads = load_loss_w(currents) / input_w;
        Self {
            sky,
            conductor,
            loads,
            ground: 1.0 - sky - conductor - loads,
        }
    }

    /// 1 - conductor - loads, dimensionless: what leaves the wires.
    #[must_use]
    pub fn structure(&self) -> f64 {
        1.0 - self.conductor - self.loads
    }
}

/// ½ Re(z) ∫ |I|² ds over all wires, W.
#[must_use]
pub(crate) fn conductor_loss_w(currents: &Currents) -> f64 {
    let mesh = &currents.mesh;
    let mut loss_w = 0.0;
    for (wire, &(start, count)) in mesh.wires.iter().enumerate() {
        let ohm_per_m = mesh.conductors[wire]
            .internal_ohm_per_m(mesh.segments[start].radius_m, mesh.freq_mhz)
            .re;
        for s in start..start + count {
            let [a, b] = currents.ends_a[s];
            // ∫ |linear|² = Δ/3 (|a|² + |b|² + Re a b*).
            let square = (a.norm_sqr() + b.norm_sqr() + (a * b.conj()).re) / 3.0;
            loss_w += 0.5 * ohm_per_m * square * mesh.segments[s].length_m;
        }
    }
    loss_w
}

/// ½ Σ Re(Z) |I|² over all loads, W.
#[must_use]
pub(crate) fn load_loss_w(currents: &Currents) -> f64 {
    currents
        .loads
        .iter()
        .map(|l| 0.5 * l.ohm.re * l.peak_a.norm_sqr())
        .sum()
}

/// What a load has to bear at a stated input power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadStress {
    /// Index of the load in the description.
    pub load: usize,
    /// Voltage across it, V rms.
    pub rms_v: f64,
    /// Current through it, A rms.
    pub rms_a: f64,
    /// Heat in it, W.
    pub loss_w: f64,
    /// Its impedance, ohm.
    pub ohm: C64,
}

/// Voltage, current and heat of every load at an input power in W.
#[must_use]
pub fn load_stresses(currents: &Currents, power_w: f64) -> Vec<LoadStress> {
    let scale = power_w / currents.input_w();
    let stress = |(load, l): (usize, &crate::solve::Loaded)| {
        let rms_a = (0.5 * l.peak_a.norm_sqr() * scale).sqrt();
        LoadStress {
            load,
            rms_v: rms_a * maths::norm(l.ohm),
            rms_a,
            loss_w: rms_a * rms_a * l.ohm.re,
            ohm: l.ohm,
        }
    };
    currents.loads.iter().enumerate().map(stress).collect()
}

/// The average-gain check: (sky + ground error) of a lossless antenna should be 1. Gives radiated over delivered power
/// (dimensionless) in free space and over perfect ground, `None` over real ground.
#[must_use]
pub fn average_gain(currents: &Currents, split: &PowerSplit) -> Option<f64> {
    match currents.mesh.ground {
        Ground::Real { .. } => None,
        Ground::Free | Ground::Perfect => Some(split.sky / split.structure()),
    }
}
