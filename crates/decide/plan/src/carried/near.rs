//! The bytes of near fields: key, steps, contacts, each with its length, all little endian.

use crate::safety::{ContactAtWatt, NearAtWatt, Part};
use farhop_exposure::profile::{NearProfile, Step};

use super::solution::{block, le_f64, take};

/// First bytes of a file; the last two are the edition of this layout.
const MAGIC: &[u8; 8] = b"farhnr01";

/// Near fields as bytes.
pub(crate) fn encode(key: &[u8], near: &NearAtWatt) -> Vec<u8> {
    let mut out = MAGIC.to_vec();
    block(&mut out, key);
    let steps = near.profile.steps().iter();
    numbers(&mut out, steps.flat_map(|s| [s.distance_m, s.e_v_per_m, s.h_a_per_m]));
    let contacts = near.contacts.iter();
    numbers(&mut out, contacts.flat_map(|c| [index_of(c.part), c.height_m, c.rms_v]));
    out
}

/// The key that stands in the bytes of near fields.
pub(crate) fn key_in(bytes: &[u8]) -> Option<&[u8]> {
    take(&mut bytes.strip_prefix(MAGIC)?)
}

/// The near fields in the bytes, if they are whole and belong to the key.
pub(crate) fn decode(key: &[u8], bytes: &[u8]) -> Option<NearAtWatt> {
    let mut rest = bytes.strip_prefix(MAGIC)?;
    if take(&mut rest)? != key {
        return None;
    }
    let steps = triples(take(&mut rest)?)?;
    let contacts = triples(take(&mut rest)?)?;
    let step = |[distance_m, e_v_per_m, h_a_per_m]: [f64; 3]| Step {
        distance_m,
        e_v_per_m,
        h_a_per_m,
    };
    let contact = |[part, height_m, rms_v]: [f64; 3]| {
        let part = Part::ALL.into_iter().find(|p| index_of(*p) == part)?;
        Some(ContactAtWatt { part, height_m, rms_v })
    };
    Some(NearAtWatt {
        profile: NearProfile::new(steps.into_iter().map(step).collect()).ok()?,
        contacts: contacts.into_iter().map(contact).collect::<Option<_>>()?,
    })
}

fn index_of(part: Part) -> f64 {
    Part::ALL.iter().position(|p| *p == part).unwrap_or_default() as f64
}

fn numbers(out: &mut Vec<u8>, values: impl Iterator<Item = f64>) {
    block(out, &values.flat_map(f64::to_le_bytes).collect::<Vec<u8>>());
}

/// Numbers three by three; none where one of them is no number or some are left over.
fn triples(bytes: &[u8]) -> Option<Vec<[f64; 3]>> {
    let values: Vec<f64> = bytes.chunks(8).map(le_f64).collect::<Option<_>>()?;
    let whole = values.iter().all(|v| v.is_finite());
    let one = |chunk: &[f64]| chunk.try_into().ok();
    values.chunks(3).map(one).collect::<Option<_>>().filter(|_| whole)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn near() -> NearAtWatt {
        let steps = [0.2, 1.0].map(|distance_m| Step {
            distance_m,
            e_v_per_m: 40.0 / distance_m,
            h_a_per_m: 0.1 / distance_m,
        });
        NearAtWatt {
            profile: NearProfile::new(steps.to_vec()).unwrap(),
            contacts: vec![ContactAtWatt {
                part: Part::Capacitor,
                height_m: 1.9,
                rms_v: 460.0,
            }],
        }
    }

    #[test]
    fn what_is_kept_comes_back() {
        assert_eq!(decode(b"key", &encode(b"key", &near())).unwrap(), near());
    }

    #[test]
    fn another_key_or_half_a_file_is_nothing() {
        let bytes = encode(b"key", &near());
        assert!(decode(b"other", &bytes).is_none());
        for length in 0..bytes.len() {
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
    fn a_file_says_whose_it_is() {
        assert_eq!(key_in(&encode(b"key", &near())), Some(&b"key"[..]));
        assert_eq!(key_in(b"something else altogether"), None);
    }
}
