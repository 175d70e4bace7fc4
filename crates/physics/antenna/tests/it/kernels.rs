//! The ground kernels against brute-force quadrature, against images, and against the textbook table.

use farhop_antenna::C64;
use farhop_antenna::ground::spectral::{Reach, Spectrum};
use farhop_antenna::ground::table::{EVERYDAY, Table};

/// The four integrals on a path just above the real axis, by a plain midpoint rule: slow and independent.
fn brute(eps: C64, rho: f64, zeta: f64) -> [C64; 4] {
    let steps = 60_000;
    let last = 40.0 / zeta;
    let mut sum = [C64::new(0.0, 0.0); 4];
    for i in 0..steps {
        // Points gather near the origin, where the branch points are; the path bends into the upper half plane.
        let u = (f64::from(i) + 0.5) / f64::from(steps);
        let (x, dx) = (last * u * u, 2.0 * last * u / f64::from(steps));
        let lift = 0.2 / (1.0 + rho);
        let (y, dy) = (lift * x * (-0.3 * x).exp(), lift * (1.0 - 0.3 * x) * (-0.3 * x).exp());
        let (kappa, step) = (C64::new(x, y), C64::new(1.0, dy) * dx);
        // Below the cuts: Im of both roots negative.
        let root = |n: C64| {
            let r = (n - kappa * kappa).sqrt();
            if r.im > 0.0 { -r } else { r }
        };
        let (a, b) = (root(C64::new(1.0, 0.0)), root(eps));
        let r_te = (a - b) / (a + b);
        let r_tm = (eps * a - b) / (eps * a + b);
        let fall = (C64::new(0.0, -1.0) * a * zeta).exp();
        let (j0, j1) = bessel(kappa * rho);
        let common = fall * kappa / (C64::new(0.0, 1.0) * a) * step;
        let square = kappa * kappa;
        sum[0] += r_te * j0 * common;
        sum[1] += (r_te + a * a * r_tm) / square * j0 * common;
        sum[2] += (r_tm - a * a / square * (r_tm + r_te)) * j0 * common;
        sum[3] += (r_tm + r_te) * j1 * fall * step;
    }
    sum
}

/// J0 and J1 near the real axis, by Bessel's integral.
fn bessel(z: C64) -> (C64, C64) {
    let n = 48;
    let mut j = (C64::new(0.0, 0.0), C64::new(0.0, 0.0));
    for i in 0..n {
        let t = std::f64::consts::PI * (f64::from(i) + 0.5) / f64::from(n);
        j.0 += (z * t.sin()).cos() / f64::from(n);
        j.1 += (C64::new(t, 0.0) - z * t.sin()).cos() / f64::from(n);
    }
    j
}

#[test]
fn the_table_matches_brute_force_to_a_thousandth() {
    for eps in [C64::new(13.0, -12.66), C64::new(5.0, -2.5), C64::new(20.0, -150.0)] {
        for (rho, zeta) in [(0.0, 0.3), (0.2, 0.3), (0.4, 1.0), (1.0, 0.3)] {
            let reach = Reach {
                rho_max: 3.0,
                zeta_min: 0.04,
                zeta_max: 2.0,
            };
            let table = Table::new(eps, reach, EVERYDAY);
            let f = table.remainders(rho, zeta);
            let r = f64::hypot(rho, zeta);
            let g = C64::from_polar(1.0 / r, -r);
            let strength = (eps - 1.0) / (eps + 1.0);
            let ours = [
                g * f[0],
                g * (f[1] - strength),
                g * (f[2] + strength * 2.0),
                g * (f[3] / r + strength / (r + zeta)) * rho,
            ];
            for (n, (a, b)) in ours.iter().zip(brute(eps, rho, zeta)).enumerate() {
                assert!(
                    (a - b).norm() < 1e-3 * b.norm().max(1e-3 / r),
                    "{eps} {rho} {zeta} kernel {n}: {a} {b}"
                );
            }
        }
    }
}

#[test]
fn a_perfect_conductor_is_the_limit() {
    let eps = C64::new(1.0, -1e8);
    let reach = Reach {
        rho_max: 0.3,
        zeta_min: 0.3,
        zeta_max: 1.0,
    };
    let spectrum = Spectrum::new(eps, reach, 10);
    for zeta in [0.4, 0.9] {
        for rho in [0.01, 0.2] {
            let r = f64::hypot(rho, zeta);
            let image = C64::from_polar(1.0 / r, -r);
            let k = spectrum.kernels(&[zeta], &[rho])[0];
            assert!((k[0] + image).norm() < 1e-3 * image.norm(), "{}", k[0]);
            assert!((k[1] + image).norm() < 1e-3 * image.norm(), "{}", k[1]);
            assert!((k[2] - image).norm() < 1e-3 * image.norm(), "{}", k[2]);
            assert!(k[3].norm() < 1e-3 * image.norm(), "{}", k[3]);
        }
    }
}
