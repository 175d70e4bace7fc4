//! The ground as the solver sees it: what a current element at a height adds at another place.

use farhop_num::maths;
use num_complex::Complex;

use crate::C64;
use crate::geometry::Mesh;
use crate::geometry::wire::Ground;
use crate::ground::fresnel::complex_permittivity;
use crate::ground::spectral::{Kernels, Reach};
use crate::ground::table::{Expansion, Fineness, Table, image_strength};
use crate::vec3::Vec3;
use farhop_num::constants::wave_number_rad_per_m;

/// Factors to be multiplied with g = e^(-jkR)/R of the image (all dimensionless).
#[derive(Clone, Copy, Debug, Default)]
pub struct Reflected {
    /// Horizontal current to horizontal vector potential.
    pub horizontal: C64,
    /// Charge to scalar potential.
    pub scalar: C64,
    /// Vertical current to vertical vector potential.
    pub vertical: C64,
    /// Cross term S: vertical current to the radial horizontal component, and minus the reverse.
    pub cross: C64,
}

/// The ground's kernels at one frequency.
#[derive(Clone, Debug)]
pub enum GroundKernel {
    /// No ground.
    None,
    /// Perfect conductor: images only.
    Perfect,
    /// Real ground: quasi-static images and a table of the remainder.
    Real {
        /// (ε-1)/(ε+1), dimensionless.
        strength: C64,
        /// Wave number, rad/m.
        k_rad_per_m: f64,
        /// The remainder.
        table: Box<Table>,
    },
}

impl GroundKernel {
    /// The kernels for a mesh; `points_m` are further points in the air where fields will be asked for.
    #[must_use]
    pub fn new(mesh: &Mesh, points_m: &[Vec3], fineness: Fineness) -> Self {
        match mesh.ground {
            Ground::Free => Self::None,
            Ground::Perfect => Self::Perfect,
            Ground::Real { eps_r, sigma_s_per_m } => {
                let eps = complex_permittivity(eps_r, sigma_s_per_m, mesh.freq_mhz);
                let k_rad_per_m = wave_number_rad_per_m(mesh.freq_mhz);
                Self::Real {
                    strength: image_strength(eps),
                    k_rad_per_m,
                    table: Box::new(Table::new(eps, reach(mesh, points_m, k_rad_per_m), fineness)),
                }
            }
        }
    }

    /// The factors around a place, for several points near it; `None` without a table.
    #[must_use]
    pub fn around(&self, rho_m: f64, zeta_m: f64) -> Option<Around> {
        let Self::Real {
            strength,
            k_rad_per_m,
            table,
        } = self
        else {
            return None;
        };
        Some(Around {
            expansion: table.expansion(k_rad_per_m * rho_m, k_rad_per_m * zeta_m),
            rho_m,
            zeta_m,
            k_rad_per_m: *k_rad_per_m,
            strength: *strength,
        })
    }

    /// The factors for a horizontal distance and a sum of heights, metres.
    #[must_use]
    pub fn at(&self, rho_m: f64, zeta_m: f64) -> Reflected {
        let one = Complex::new(1.0, 0.0);
        match self {
            Self::None => Reflected::default(),
            Self::Perfect => Reflected {
                horizontal: -one,
                scalar: -one,
                vertical: one,
                cross: Complex::new(0.0, 0.0),
            },
            Self::Real {
                strength,
                k_rad_per_m,
                table,
            } => {
                let f = table.remainders(k_rad_per_m * rho_m, k_rad_per_m * zeta_m);
                with_images(f, *strength, rho_m, zeta_m)
            }
        }
    }

    /// The constant parts of the scalar and the vertical factor: the quasi-static images (dimensionless).
    #[must_use]
    pub fn images(&self) -> (C64, C64) {
        let one = Complex::new(1.0, 0.0);
        match self {
            Self::None => (Complex::new(0.0, 0.0), Complex::new(0.0, 0.0)),
            Self::Perfect => (-one, one),
            Self::Real { strength, .. } => (-strength, strength * 2.0),
        }
    }
}

/// The factors near a place, to first order.
#[derive(Clone, Copy, Debug)]
pub struct Around {
    expansion: Expansion,
    rho_m: f64,
    zeta_m: f64,
    k_rad_per_m: f64,
    strength: C64,
}

impl Around {
    /// The factors for a horizontal distance and a sum of heights near the place, metres.
    #[must_use]
    pub fn at(&self, rho_m: f64, zeta_m: f64) -> Reflected {
        let step = |to: f64, from: f64| self.k_rad_per_m * (to - from);
        let f = self.expansion.at(step(rho_m, self.rho_m), step(zeta_m, self.zeta_m));
        with_images(f, self.strength, rho_m, zeta_m)
    }
}

/// Adds the quasi-static images to the remainders.
fn with_images(f: Kernels, strength: C64, rho_m: f64, zeta_m: f64) -> Reflected {
    let r_m = (rho_m * rho_m + zeta_m * zeta_m).sqrt();
    Reflected {
        horizontal: f[0],
        scalar: f[1] - strength,
        vertical: f[2] + strength * 2.0,
        cross: (f[3] / r_m + strength / (r_m + zeta_m)) * rho_m,
    }
}

/// The range of distances that occur, scaled by k. The farthest points of straight wires are their ends.
fn reach(mesh: &Mesh, points_m: &[Vec3], k_rad_per_m: f64) -> Reach {
    let end = |&(first, count): &(usize, usize)| {
        [
            mesh.segments[first].point_m(0.0),
            mesh.segments[first + count - 1].point_m(1.0),
        ]
    };
    let ends: Vec<Vec3> = mesh.wires.iter().flat_map(end).collect();
    let mut across_m: f64 = 0.0;
    for a in ends.iter().chain(points_m) {
        for b in &ends {
            across_m = across_m.max(maths::hypot(a[0] - b[0], a[1] - b[1]));
        }
    }
    let height = |p: &Vec3| p[2];
    let wire_low_m = ends.iter().map(height).fold(f64::INFINITY, f64::min);
    let low_m = points_m.iter().map(height).fold(wire_low_m, f64::min);
    let high_m = ends.iter().chain(points_m).map(height).fold(wire_low_m, f64::max);
    Reach {
        rho_max: k_rad_per_m * across_m * 1.001,
        zeta_min: k_rad_per_m * (wire_low_m + low_m.max(0.0)),
        zeta_max: k_rad_per_m * 2.0 * high_m,
    }
}
