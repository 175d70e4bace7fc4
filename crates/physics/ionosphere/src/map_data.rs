//! The coefficients of the numerical maps: reading them, month by month, nothing else.
//!
//! They are part of the program, but for that in a browser: to that the few months of an outing are brought, each as the bytes that the
//! program gives out here.
//!
//! The file is made by `data/build/make_iono_maps.py`, which also describes the layout; see `data/PROVENANCE.md`.

use std::sync::OnceLock;

/// Longitude orders of a set, 0 to 8.
pub(crate) const ORDERS: usize = 9;
/// Sets in a month.
const SETS: usize = 12;
/// Months in the file.
pub(crate) const MONTHS: usize = 12;
/// Letters, version and counts.
#[cfg(test)]
const HEADER: usize = 16;

#[cfg(not(target_arch = "wasm32"))]
static EMBEDDED: &[u8] = include_bytes!("../../../../data/iono_maps.bin");
// The length is known, so a truncated file does not even compile; the content is checked by a test.
#[cfg(not(target_arch = "wasm32"))]
const _: () = assert!(EMBEDDED.len() == 331_600);

/// The months that were read.
static AT_HAND: [OnceLock<MonthSets>; MONTHS] = [const { OnceLock::new() }; MONTHS];

/// Why a block of bytes is not a file of map coefficients.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MapDataError {
    /// The first bytes are not those of a map file of this version.
    #[error("this is not a file of map coefficients, version 1; make it again with data/build/make_iono_maps.py")]
    Header,
    /// The bytes end inside a set, or are left over.
    #[error(
        "the map coefficients are damaged in month {month}, set {set}; make the file again with data/build/make_iono_maps.py"
    )]
    Damaged {
        /// Month, 1 to 12 (13: bytes are left over).
        month: usize,
        /// Set in the month, 0 to 11 (12: bytes are left over).
        set: usize,
    },
    /// They are no part of this program, and were not brought.
    #[error("the map coefficients of this month were not brought; load the page again while there is a network")]
    Absent,
}

/// One numerical map: coefficients by diurnal and geographic function.
#[derive(Clone, Debug)]
pub(crate) struct MapSet {
    /// Number of diurnal functions, 2 H + 1.
    pub diurnal: usize,
    /// Number of the last geographic function of each longitude order.
    pub last: [usize; ORDERS],
    /// Coefficients, diurnal index fastest.
    pub values: Vec<f64>,
}

/// The maps of one month, two activity levels each.
#[derive(Clone, Debug)]
pub(crate) struct MonthSets {
    /// foF2, CCIR, MHz.
    pub fof2_ccir: [MapSet; 2],
    /// foF2, URSI-88, MHz.
    pub fof2_ursi: [MapSet; 2],
    /// M(3000)F2, CCIR.
    pub m3000f2: [MapSet; 2],
    /// foEs upper decile, MHz.
    pub foes_upper: [MapSet; 2],
    /// foEs median, MHz.
    pub foes_median: [MapSet; 2],
    /// foEs lower decile, MHz.
    pub foes_lower: [MapSet; 2],
}

/// The maps of a month, 0 for January, read at the first question.
pub(crate) fn month(index: usize) -> &'static MonthSets {
    let index = index % MONTHS;
    AT_HAND[index].get_or_init(|| match embedded(index) {
        Ok(sets) => sets,
        Err(problem) => unreachable!("month {}: {problem}", index + 1),
    })
}

#[cfg(not(target_arch = "wasm32"))]
fn embedded(index: usize) -> Result<MonthSets, MapDataError> {
    Reader {
        rest: month_bytes(index),
    }
    .month(index + 1)
}

#[cfg(target_arch = "wasm32")]
fn embedded(_: usize) -> Result<MonthSets, MapDataError> {
    Err(MapDataError::Absent)
}

/// The coefficients of a month, 0 for January, as they are brought to where they are no part of the program.
#[cfg(not(target_arch = "wasm32"))]
#[must_use]
pub fn month_bytes(index: usize) -> &'static [u8] {
    static CUT: OnceLock<Vec<&'static [u8]>> = OnceLock::new();
    // An embedded file that is damaged is told where it is read.
    let all = CUT.get_or_init(|| cut(EMBEDDED).unwrap_or_default());
    all.get(index % MONTHS).copied().unwrap_or_default()
}

/// Whether the coefficients of a month, 0 for January, can be read.
#[must_use]
pub fn has_month(index: usize) -> bool {
    cfg!(not(target_arch = "wasm32")) || AT_HAND[index % MONTHS].get().is_some()
}

/// Takes the coefficients of a month, 0 for January, as [`month_bytes`] gave them; those that are at hand already stay.
///
/// # Errors
/// They are none.
pub fn bring_month(index: usize, bytes: &[u8]) -> Result<(), MapDataError> {
    let index = index % MONTHS;
    let mut reader = Reader { rest: bytes };
    let sets = reader.month(index + 1)?;
    if !reader.rest.is_empty() {
        return Err(MapDataError::Damaged {
            month: index + 1,
            set: SETS,
        });
    }
    AT_HAND[index].get_or_init(|| sets);
    Ok(())
}

/// The bytes of each month.
#[cfg(not(target_arch = "wasm32"))]
fn cut(bytes: &[u8]) -> Result<Vec<&[u8]>, MapDataError> {
    let mut reader = Reader { rest: bytes };
    let header = [(); 4].map(|()| reader.word());
    if header
        != [
            Some(u32::from_le_bytes(*b"FHIO")),
            Some(1),
            Some(MONTHS as u32),
            Some(SETS as u32),
        ]
    {
        return Err(MapDataError::Header);
    }
    let one = |month: usize| {
        let before = reader.rest;
        reader.month(month)?;
        Ok(&before[..before.len() - reader.rest.len()])
    };
    let months = (1..=MONTHS).map(one).collect::<Result<Vec<_>, _>>()?;
    if reader.rest.is_empty() {
        Ok(months)
    } else {
        Err(MapDataError::Damaged { month: 13, set: 0 })
    }
}

struct Reader<'a> {
    rest: &'a [u8],
}

impl Reader<'_> {
    fn word(&mut self) -> Option<u32> {
        let (word, rest) = self.rest.split_first_chunk::<4>()?;
        self.rest = rest;
        Some(u32::from_le_bytes(*word))
    }

    fn set(&mut self) -> Option<MapSet> {
        let harmonics = self.word()?;
        let mut last = [0_usize; ORDERS];
        for k in &mut last {
            *k = usize::try_from(self.word()?).ok()?;
        }
        let rising = last.windows(2).all(|pair| pair[0] <= pair[1]);
        if harmonics > 8 || last[ORDERS - 1] > 99 || !rising {
            return None;
        }
        let diurnal = 2 * harmonics as usize + 1;
        let values = (0..diurnal * (last[ORDERS - 1] + 1))
            .map(|_| self.word().map(|bits| f64::from(f32::from_bits(bits))))
            .collect::<Option<Vec<_>>>()?;
        Some(MapSet { diurnal, last, values })
    }

    fn pair(&mut self, month: usize, set: usize) -> Result<[MapSet; 2], MapDataError> {
        let low = self.set().ok_or(MapDataError::Damaged { month, set })?;
        let high = self.set().ok_or(MapDataError::Damaged { month, set: set + 1 })?;
        Ok([low, high])
    }

    fn month(&mut self, month: usize) -> Result<MonthSets, MapDataError> {
        Ok(MonthSets {
            fof2_ccir: self.pair(month, 0)?,
            fof2_ursi: self.pair(month, 2)?,
            m3000f2: self.pair(month, 4)?,
            foes_upper: self.pair(month, 6)?,
            foes_median: self.pair(month, 8)?,
            foes_lower: self.pair(month, 10)?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_embedded_file_is_whole() {
        let months: Vec<&MonthSets> = (0..MONTHS).map(month).collect();
        let sum: usize = (0..MONTHS).map(|m| month_bytes(m).len()).sum();
        assert_eq!(sum + HEADER, EMBEDDED.len());
        for month in &months {
            // P.1239: 988 coefficients for foF2, 441 for M(3000)F2.
            assert!(
                month
                    .fof2_ccir
                    .iter()
                    .chain(&month.fof2_ursi)
                    .all(|s| s.values.len() == 988)
            );
            assert!(month.m3000f2.iter().all(|s| s.values.len() == 441));
        }
        // The one month whose sporadic-E median has other longitude orders, as its header says.
        assert_eq!(months[0].foes_median[0].last[..5], [10, 36, 50, 56, 60]);
        assert_eq!(months[1].foes_median[0].last[..6], [10, 36, 50, 56, 58, 60]);
    }

    #[test]
    fn damage_is_reported_with_its_place() {
        assert_eq!(cut(b"FHI").unwrap_err(), MapDataError::Header);
        let short = &EMBEDDED[..EMBEDDED.len() - 1];
        assert_eq!(cut(short).unwrap_err(), MapDataError::Damaged { month: 12, set: 11 });
        let long = [EMBEDDED, &[0]].concat();
        assert_eq!(cut(&long).unwrap_err(), MapDataError::Damaged { month: 13, set: 0 });
        let bytes = month_bytes(3);
        assert_eq!(bring_month(3, bytes), Ok(()));
        let damaged = Err(MapDataError::Damaged { month: 4, set: 11 });
        assert_eq!(bring_month(3, &bytes[..bytes.len() - 1]), damaged);
        let damaged = Err(MapDataError::Damaged { month: 4, set: 12 });
        assert_eq!(bring_month(3, &[bytes, &[0]].concat()), damaged);
    }
}
