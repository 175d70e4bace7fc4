//! Coast lines of the world: Natural Earth 1:110m land (public domain). See data/PROVENANCE.md.

/// Made by data/build/make_coast.py.
const COAST: &[u8] = include_bytes!("coast-110m.bin");
/// Degrees for one unit of the file.
const UNIT_DEG: f64 = 180.0 / 32_767.0;

/// Every ring of land as (latitude, longitude) in degrees.
pub(super) fn rings() -> Vec<Vec<(f64, f64)>> {
    let mut rings = Vec::new();
    let mut rest = COAST;
    while let Some((head, tail)) = rest.split_first_chunk::<2>() {
        let bytes = usize::from(u16::from_le_bytes(*head)) * 4;
        let Some((ring, after)) = tail.split_at_checked(bytes) else {
            break;
        };
        rings.push(ring.chunks_exact(4).map(point).collect());
        rest = after;
    }
    rings
}

fn point(bytes: &[u8]) -> (f64, f64) {
    let value = |at: usize| {
        let pair = [
            bytes.get(at).copied().unwrap_or(0),
            bytes.get(at + 1).copied().unwrap_or(0),
        ];
        f64::from(i16::from_le_bytes(pair)) * UNIT_DEG
    };
    (value(2), value(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_world_is_all_there() {
        let rings = rings();
        assert_eq!(rings.len(), 126);
        let points: usize = rings.iter().map(Vec::len).sum();
        assert_eq!(points * 4 + rings.len() * 2, COAST.len());
        assert!(
            rings
                .iter()
                .flatten()
                .all(|(lat, lon)| lat.abs() <= 90.001 && lon.abs() <= 180.001)
        );
    }
}
