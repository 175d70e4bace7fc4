//! What the sky of a month is made of: the maps of the ionosphere and the noise of lightning. Twelve files beside the engine, of which an
//! outing needs the few of its own time of the year.

use farhop_ionosphere::maps::months_between;
use farhop_outing::Outing;
use farhop_propagation::noise;

/// Months of a year.
pub const MONTHS: usize = 12;

/// The months that an outing needs and that are not at hand, 1 for January.
#[must_use]
pub fn wanting(outing: &Outing) -> Vec<usize> {
    let header = &outing.header;
    let there = |index: usize| farhop_ionosphere::has_month(index) && noise::has_month(index);
    let needed = months_between(header.start, header.end).into_iter();
    needed.filter(|index| !there(*index)).map(|index| index + 1).collect()
}

/// The file of a month, 1 for January: the length of the maps (four bytes, low one first), the maps, the noise.
#[cfg(not(target_arch = "wasm32"))]
#[must_use]
pub fn bytes_of(month: usize) -> Vec<u8> {
    let maps = farhop_ionosphere::month_bytes(month - 1);
    let length = (maps.len() as u32).to_le_bytes();
    [&length, maps, &noise::month_bytes(month - 1)].concat()
}

/// Takes the file of a month, 1 for January; says whether it was one.
#[must_use]
pub fn bring(month: usize, bytes: &[u8]) -> bool {
    let Some(index) = month.checked_sub(1).filter(|index| *index < MONTHS) else {
        return false;
    };
    let cut = bytes.split_first_chunk::<4>().and_then(|(length, rest)| {
        let length = u32::from_le_bytes(*length) as usize;
        rest.split_at_checked(length)
    });
    let Some((maps, lightning)) = cut else { return false };
    farhop_ionosphere::bring_month(index, maps).is_ok() && noise::bring_month(index, lightning)
}
