//! Even stars of radials are solved by their symmetry: the whole system is the judge.

use farhop_antenna::geometry::Mesh;
use farhop_antenna::geometry::mesh::MOST_UNKNOWNS;
use farhop_antenna::solve::{Currents, solve, solve_whole};
use farhop_antenna::{Antenna, Conductor, Ground, Segments, Source, Wire};

const SOIL: Ground = Ground::Real {
    eps_r: 13.0,
    sigma_s_per_m: 0.005,
};

/// A vertical of so many metres over so many radials, its foot lifted a little.
fn vertical(length_m: f64, radials: u32, radial_m: f64, ground: Ground) -> Antenna {
    let wire = |p1_m, p2_m| Wire {
        p1_m,
        p2_m,
        radius_m: 0.000_8,
        conductor: Conductor::COPPER,
        segments: Segments::Automatic,
    };
    let foot = [0.0, 0.0, 0.08];
    let knee = [0.0, 0.0, 0.28];
    let mut wires = vec![wire(foot, knee), wire(knee, [0.0, 0.0, length_m])];
    for k in 0..radials {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(k) / f64::from(radials)).sin_cos();
        wires.push(wire(foot, [radial_m * cos, radial_m * sin, 0.08]));
    }
    Antenna {
        wires,
        sources: vec![Source::middle_of(0)],
        loads: Vec::new(),
        ground,
    }
}

fn apart(a: &Currents, b: &Currents) -> f64 {
    let pairs = a.ends_a.iter().flatten().zip(b.ends_a.iter().flatten());
    let most = a.ends_a.iter().flatten().map(|i| i.norm()).fold(0.0, f64::max);
    pairs.map(|(x, y)| (x - y).norm()).fold(0.0, f64::max) / most
}

/// The largest difference of any current, over the largest current, where both are solved.
#[test]
fn a_star_solved_by_symmetry_is_the_whole_system() {
    for (radials, ground) in [(3, SOIL), (4, SOIL), (7, SOIL), (8, Ground::Free), (12, SOIL)] {
        let antenna = vertical(5.0, radials, 3.0, ground);
        let (folded, whole) = (solve(&antenna, 14.1).unwrap(), solve_whole(&antenna, 14.1).unwrap());
        let differ = apart(&folded, &whole);
        println!("{radials} radials: {differ:.1e}");
        assert!(differ < 1e-4, "{radials}: {differ:e}");
    }
}

/// A wire that is cut short, or fed, is no star, and is solved whole to the last bit.
#[test]
fn what_is_no_star_is_solved_as_before() {
    let mut shorter = vertical(5.0, 4, 3.0, SOIL);
    shorter.wires[3].p2_m = [0.0, 2.9, 0.08];
    let (one, other) = (solve(&shorter, 14.1).unwrap(), solve_whole(&shorter, 14.1).unwrap());
    assert_eq!(one.ends_a, other.ends_a);
}

/// Thirty-two radials of 84 m, which as a whole are more than two thousand unknowns, take seconds and little memory.
#[test]
fn many_long_radials_are_few_unknowns() {
    let antenna = vertical(20.0, 32, 84.0, SOIL);
    let started = std::time::Instant::now();
    let found = solve(&antenna, 3.6).unwrap();
    println!(
        "{} segments in {:.2} s",
        found.mesh.segments.len(),
        started.elapsed().as_secs_f64()
    );
    assert!(found.mesh.segments.len() > 1_500 && found.impedance_ohm().re > 20.0);
}

/// Where the usual segments would be too many for the memory, longer ones are taken, and it is said.
#[test]
fn too_many_segments_become_longer_ones() {
    let mut antenna = vertical(10.0, 20, 80.0, Ground::Free);
    // One radial a little shorter: no star, and every one of them counts.
    antenna.wires[4].p2_m = [0.0, 79.0, 0.08];
    let mesh = Mesh::new(&antenna, 14.1).unwrap();
    assert!(
        mesh.coarse > 1.0 && mesh.segments.len() <= MOST_UNKNOWNS,
        "{} {}",
        mesh.coarse,
        mesh.segments.len()
    );
}
