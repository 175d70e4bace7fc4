//! What hangs on which battery, through which converter.

use crate::error::PlanError;
use farhop_energy::Converter;
use farhop_outing::{Converter as Stated, Id, Outing};

/// Where a load hangs.
#[derive(Clone, Debug)]
pub struct Feed<'a> {
    /// Id of the battery.
    pub source: String,
    /// The converter between, if there is one.
    pub converter: Option<&'a Stated>,
    /// What had to be assumed, in words; none where the outing file says it all.
    pub assumed: Option<String>,
}

/// Where something that names `wanted` (none: the first battery) gets its power. Only what is carried counts.
///
/// # Errors
/// No battery is carried, or the converter stays at home.
pub fn feed<'a>(outing: &'a Outing, what: &str, wanted: Option<&Id>) -> Result<Feed<'a>, PlanError> {
    let kit = &outing.kit;
    let converter = wanted.and_then(|id| kit.converters.iter().find(|c| c.id == *id));
    if let Some(converter) = converter {
        if !kit.carries(converter.id.as_str()) {
            return Err(PlanError::StaysAtHome {
                what: what.to_owned(),
                on: converter.id.to_string(),
            });
        }
        let battery = feed(outing, converter.id.as_str(), converter.source.as_ref())?;
        return Ok(Feed {
            converter: Some(converter),
            ..battery
        });
    }
    let carried = kit.batteries.iter().filter(|b| kit.carries(b.id.as_str()));
    let carried: Vec<&Id> = carried.map(|b| &b.id).collect();
    let Some(first) = carried.first() else {
        return Err(PlanError::NoBattery);
    };
    let found = wanted.filter(|id| carried.contains(id));
    let assumed = wanted
        .filter(|_| found.is_none())
        .map(|id| format!("{what} hangs on {id}, which stays at home: counted on {first}"));
    Ok(Feed {
        source: found.unwrap_or(first).to_string(),
        converter: None,
        assumed,
    })
}

/// A converter without its own draw, which counts once and not once a load.
///
/// # Errors
/// What is wrong with its numbers, in words.
pub(crate) fn without_idle(stated: &Stated) -> Result<Converter, PlanError> {
    Converter::new(stated.efficiency, 0.0, stated.min_v, stated.out_v)
        .map_err(|e| PlanError::at(stated.id.as_str())(e.into()))
}
