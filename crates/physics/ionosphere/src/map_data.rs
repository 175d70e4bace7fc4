//! The embedded coefficients of the numerical maps: reading them, nothing else.
//!
//! The file is made by `data/build/make_iono_maps.py`, which also describes the layout; see `data/PROVENANCE.md`.

/// Longitude orders of a set, 0 to 8.
pub(crate) const ORDERS: usize = 9;
/// Sets in a month.
const SETS: usize = 12;
/// Months in the file.
const MONTHS: usize = 12;

static EMBEDDED: &[u8] = include_bytes!("../../../../data/iono_maps.bin");
// The length is known, so a truncated file does not even compile; the content is checked by a test.
const _: () = assert!(EMBEDDED.len() == 331_600);

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
        /// Set in the month, 0 to 11.
        set: usize,
    },
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

/// Reads the coefficients that are part of the program.
pub(crate) fn parse_embedded() -> Result<Vec<MonthSets>, MapDataError> {
    parse(EMBEDDED)
}

fn parse(bytes: &[u8]) -> Result<Vec<MonthSets>, MapDataError> {
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
    let months = (1..=MONTHS)
        .map(|month| reader.month(month))
        .collect::<Result<Vec<_>, _>>()?;
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
        let months = parse_embedded().unwrap();
        assert_eq!(months.len(), 12);
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
        assert_eq!(parse(b"FHI").unwrap_err(), MapDataError::Header);
        let cut = &EMBEDDED[..EMBEDDED.len() - 1];
        assert_eq!(parse(cut).unwrap_err(), MapDataError::Damaged { month: 12, set: 11 });
        let long = [EMBEDDED, &[0]].concat();
        assert_eq!(parse(&long).unwrap_err(), MapDataError::Damaged { month: 13, set: 0 });
    }
}
