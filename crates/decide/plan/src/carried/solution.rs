//! The bytes of a solution: key, numbers, pattern, notes, each with its length, all little endian.

use crate::engine::{LoadAtWatt, SolvedAntenna};
use farhop_antenna::pattern::Pattern;
use num_complex::Complex64;

/// First bytes of a file; the last two are the edition of this layout.
const MAGIC: &[u8; 8] = b"farhop01";

/// A solution as bytes.
pub(crate) fn encode(key: &[u8], solved: &SolvedAntenna) -> Vec<u8> {
    let mut out = MAGIC.to_vec();
    block(&mut out, key);
    let mut numbers = vec![
        solved.impedance_ohm.re,
        solved.impedance_ohm.im,
        solved.efficiency,
        solved.conductor_share,
        solved.load_share,
        solved.ground_share,
        f64::from(u8::from(solved.coupled)),
    ];
    numbers.extend(solved.loads.iter().flat_map(|l| [l.rms_v, l.rms_a]));
    block(
        &mut out,
        &numbers.iter().flat_map(|v| v.to_le_bytes()).collect::<Vec<u8>>(),
    );
    let (grounded, cells) = solved.pattern.numbers();
    let mut pattern = vec![u8::from(grounded)];
    pattern.extend(cells.iter().flat_map(|v| v.to_le_bytes()));
    block(&mut out, &pattern);
    block(&mut out, solved.notes.join("\n").as_bytes());
    out
}

/// The key that stands in the bytes of a solution.
pub(crate) fn key_in(bytes: &[u8]) -> Option<&[u8]> {
    take(&mut bytes.strip_prefix(MAGIC)?)
}

/// The solution in the bytes, if they are whole and belong to the key. Its azimuth is left open.
pub(crate) fn decode(key: &[u8], bytes: &[u8]) -> Option<SolvedAntenna> {
    let mut rest = bytes.strip_prefix(MAGIC)?;
    if take(&mut rest)? != key {
        return None;
    }
    let numbers: Vec<f64> = take(&mut rest)?.chunks_exact(8).map(le_f64).collect::<Option<_>>()?;
    let pattern = take(&mut rest)?;
    let (grounded, cells) = pattern.split_first()?;
    let cells: Vec<f32> = cells.chunks_exact(4).map(le_f32).collect::<Option<_>>()?;
    let notes = std::str::from_utf8(take(&mut rest)?).ok()?;
    let [re, im, efficiency, conductor_share, load_share, ground_share, coupled] = *numbers.first_chunk::<7>()?;
    if !numbers.iter().all(|v| v.is_finite()) || !cells.iter().all(|v| v.is_finite()) {
        return None;
    }
    Some(SolvedAntenna {
        impedance_ohm: Complex64::new(re, im),
        efficiency,
        conductor_share,
        load_share,
        ground_share,
        loads: numbers[7..]
            .chunks_exact(2)
            .map(|l| LoadAtWatt {
                rms_v: l[0],
                rms_a: l[1],
            })
            .collect(),
        coupled: coupled != 0.0,
        pattern: Pattern::from_numbers(*grounded != 0, &cells)?,
        azimuth_deg: None,
        notes: notes.lines().map(str::to_owned).collect(),
    })
}

pub(crate) fn block(out: &mut Vec<u8>, bytes: &[u8]) {
    out.extend((bytes.len() as u64).to_le_bytes());
    out.extend(bytes);
}

pub(crate) fn take<'a>(rest: &mut &'a [u8]) -> Option<&'a [u8]> {
    let (length, after) = rest.split_first_chunk::<8>()?;
    let length = usize::try_from(u64::from_le_bytes(*length)).ok()?;
    let (block, after) = after.split_at_checked(length)?;
    *rest = after;
    Some(block)
}

pub(crate) fn le_f64(bytes: &[u8]) -> Option<f64> {
    bytes.try_into().ok().map(f64::from_le_bytes)
}

fn le_f32(bytes: &[u8]) -> Option<f32> {
    bytes.try_into().ok().map(f32::from_le_bytes)
}

#[cfg(test)]
mod tests {
    use crate::book::Radiator as _;
    use crate::engine::solve_antenna;
    use farhop_earth::GroundClass;
    use proptest::prelude::*;

    use super::*;

    fn solved() -> SolvedAntenna {
        let text = include_str!("../../../../../examples/demo.toml");
        let reading = farhop_outing_file::read(text, "demo", &|_| Err(String::new()));
        let outing = reading.outing.unwrap();
        let antenna = outing.kit.antenna("loop").unwrap();
        solve_antenna(antenna, GroundClass::Average.constants(), 7.05).unwrap()
    }

    #[test]
    fn what_is_kept_comes_back() {
        let solved = solved();
        let back = decode(b"key", &encode(b"key", &solved)).unwrap();
        assert_eq!(back.impedance_ohm, solved.impedance_ohm);
        assert_eq!(back.efficiency, solved.efficiency);
        assert_eq!(back.loads, solved.loads);
        assert_eq!(back.notes, solved.notes);
        assert_eq!(
            back.gain_dbi(40.0, 10.0),
            SolvedAntenna {
                azimuth_deg: None,
                ..solved
            }
            .gain_dbi(40.0, 10.0)
        );
    }

    #[test]
    fn another_key_or_half_a_file_is_nothing() {
        let bytes = encode(b"key", &solved());
        assert!(decode(b"other", &bytes).is_none());
        for length in [0, 7, 8, 20, bytes.len() / 2, bytes.len() - 1] {
            assert!(decode(b"key", &bytes[..length]).is_none(), "{length}");
        }
    }

    proptest! {
        #[test]
        fn noise_never_panics(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
            let _ = decode(b"key", &bytes);
            let _ = decode(b"key", &[MAGIC.to_vec(), bytes].concat());
        }
    }

    #[test]
    fn what_is_no_number_is_no_solution() {
        let keyed = |solved: &SolvedAntenna| decode(b"key", &encode(b"key", solved));
        let sound = solved();
        assert_eq!(key_in(&encode(b"key", &sound)), Some(&b"key"[..]));
        let not_a_number = SolvedAntenna {
            efficiency: f64::NAN,
            ..sound.clone()
        };
        assert!(keyed(&not_a_number).is_none());
        // A cell of the pattern that is none, among numbers that are.
        let bytes = encode(b"key", &sound);
        let refused = |place: usize| {
            let mut broken = bytes.clone();
            broken[place..place + 4].copy_from_slice(&f32::INFINITY.to_le_bytes());
            decode(b"key", &broken).is_none()
        };
        assert!((8..bytes.len() - 4).rev().step_by(4).any(refused));
    }
}
