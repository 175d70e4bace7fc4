//! An allocation file as a checked table.

use farhop_allocations::allocation::AllocationError;
use farhop_allocations::{
    Allocation, Band, Identification, PowerBasis, PowerLimit, Reserved, ReservedKind, Segment, Source, Status,
};
use toml::{Table, Value};

/// Why a file is no allocation.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AllocationFileError {
    /// It is no TOML.
    #[error("{0}")]
    Syntax(#[from] toml::de::Error),
    /// Something is missing or of the wrong kind: which key, and what should stand there.
    #[error("{0}")]
    Key(String),
    /// It reads, but makes no sense as a whole.
    #[error(transparent)]
    Allocation(#[from] AllocationError),
}

/// Reads an allocation table.
///
/// # Errors
/// What is missing, of the wrong kind, or makes no sense.
pub fn allocation(text: &str) -> Result<Allocation, AllocationFileError> {
    let table: Table = text.parse()?;
    let read = table_of(&table).map_err(AllocationFileError::Key)?;
    Ok(read.checked()?)
}

fn table_of(table: &Table) -> Result<Allocation, String> {
    let name = need_text(table, "name")?;
    let said = |e: String| format!("{name}: {e}");
    let source = source(table, None).map_err(said)?;
    let list = |key: &str| tables(table, key).map_err(said);
    let bands: Result<Vec<Band>, String> = list("band")?.into_iter().map(|t| band(t, &source)).collect();
    let segments: Result<Vec<Segment>, String> = list("segment")?.into_iter().map(|t| segment(t, &source)).collect();
    let identification = match table.get("identification") {
        Some(Value::Table(own)) => Some(identification(own, &source).map_err(said)?),
        Some(_) => return Err(said("`identification` is no table".into())),
        None => None,
    };
    Ok(Allocation {
        title: need_text(table, "title").map_err(said)?,
        identification,
        bands: bands.map_err(said)?,
        segments: segments.map_err(said)?,
        note: text_or_empty(table, "note"),
        name,
        source,
    })
}

/// Reads the ranges that are kept free.
///
/// # Errors
/// What is missing, of the wrong kind, or makes no sense.
pub fn reserved(text: &str) -> Result<Vec<Reserved>, AllocationFileError> {
    ranges(&text.parse()?).map_err(AllocationFileError::Key)
}

fn ranges(table: &Table) -> Result<Vec<Reserved>, String> {
    let whole = source(table, None)?;
    let one = |own: &Table| {
        let (low_mhz, high_mhz) = (need_number(own, "low_mhz")?, need_number(own, "high_mhz")?);
        if !(low_mhz < high_mhz && low_mhz > 0.0) {
            return Err(format!("{low_mhz} to {high_mhz} MHz is no range"));
        }
        Ok(Reserved {
            low_mhz,
            high_mhz,
            kind: need_word(own, "kind", &ReservedKind::WORDS)?,
            what: need_text(own, "what")?,
            source: source(own, Some(&whole))?,
        })
    };
    tables(table, "reserved")?.into_iter().map(one).collect()
}

fn band(own: &Table, whole: &Source) -> Result<Band, String> {
    let power = match number(own, "max_power_w")? {
        Some(power_w) => Some(PowerLimit {
            power_w,
            basis: need_word(own, "power_basis", &PowerBasis::WORDS)?,
        }),
        None => None,
    };
    let data = match own.get("data") {
        None => true,
        Some(Value::Boolean(data)) => *data,
        Some(_) => return Err("`data` is neither true nor false".into()),
    };
    Ok(Band {
        low_mhz: need_number(own, "low_mhz")?,
        high_mhz: need_number(own, "high_mhz")?,
        status: need_word(own, "status", &Status::WORDS)?,
        power,
        width_limit_hz: number(own, "max_width_hz")?,
        data,
        note: text_or_empty(own, "note"),
        source: source(own, Some(whole))?,
    })
}

fn segment(own: &Table, whole: &Source) -> Result<Segment, String> {
    Ok(Segment {
        low_mhz: need_number(own, "low_mhz")?,
        high_mhz: need_number(own, "high_mhz")?,
        width_limit_hz: need_number(own, "max_width_hz")?,
        note: text_or_empty(own, "note"),
        source: source(own, Some(whole))?,
    })
}

fn identification(own: &Table, whole: &Source) -> Result<Identification, String> {
    Ok(Identification {
        every_min: need_number(own, "every_min")?,
        at_end: own.get("at_end").and_then(Value::as_bool).unwrap_or(false),
        source: source(own, Some(whole))?,
    })
}

/// Source, date and whether from memory: an entry's own, else the file's.
fn source(own: &Table, whole: Option<&Source>) -> Result<Source, String> {
    if let (None, Some(whole)) = (own.get("source"), whole) {
        return Ok(whole.clone());
    }
    let from_memory = own.get("from_memory").and_then(Value::as_bool);
    Ok(Source {
        text: need_text(own, "source")?,
        date: need_text(own, "date")?,
        from_memory: from_memory.ok_or("`from_memory` is missing: true or false")?,
    })
}

fn tables<'t>(table: &'t Table, key: &str) -> Result<Vec<&'t Table>, String> {
    let Some(value) = table.get(key) else {
        return Ok(Vec::new());
    };
    let list = value
        .as_array()
        .ok_or_else(|| format!("`{key}` is no list of tables"))?;
    let one = |v: &'t Value| v.as_table().ok_or_else(|| format!("`{key}` is no list of tables"));
    list.iter().map(one).collect()
}

fn number(table: &Table, key: &str) -> Result<Option<f64>, String> {
    match table.get(key) {
        None => Ok(None),
        Some(Value::Float(v)) => Ok(Some(*v)),
        Some(Value::Integer(v)) => Ok(Some(*v as f64)),
        Some(_) => Err(format!("`{key}` is no number")),
    }
}

fn need_number(table: &Table, key: &str) -> Result<f64, String> {
    number(table, key)?.ok_or_else(|| format!("`{key}` is missing"))
}

fn need_text(table: &Table, key: &str) -> Result<String, String> {
    let text = table.get(key).and_then(Value::as_str);
    text.map(str::to_owned).ok_or_else(|| format!("`{key}` is missing"))
}

fn text_or_empty(table: &Table, key: &str) -> String {
    table.get(key).and_then(Value::as_str).unwrap_or_default().to_owned()
}

fn need_word<T: Copy>(table: &Table, key: &str, words: &[(&str, T)]) -> Result<T, String> {
    let word = need_text(table, key)?;
    let known: Vec<&str> = words.iter().map(|w| w.0).collect();
    let found = words.iter().find(|w| w.0 == word);
    found
        .map(|w| w.1)
        .ok_or_else(|| format!("`{key}` is \"{word}\"; known: {}", known.join(", ")))
}
