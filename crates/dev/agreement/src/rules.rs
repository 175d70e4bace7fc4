//! Agreement of the allocation tables with channels judged by hand, one rule of a document a row.

use std::path::Path;

use farhop_allocations::{ChannelUse, Weight, check};
use farhop_outing_file::allocations::named;

use crate::row::{fail, table};
use crate::{AgreementError, Row, Spread};

const AREA: &str = "rules";
const DOCUMENTS: &str = "Radio Regulations, 47 CFR 97, national rules, channel by channel (from memory)";

/// The rows of the rules.
///
/// # Errors
/// The vector file is missing or malformed, or names an unknown table.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let mut regions = Vec::new();
    let mut countries = Vec::new();
    for row in table(&root.join("validation/rules"), "channels.csv")? {
        let text = |i: usize| row.get(i).unwrap_or_default();
        let number = |i: usize| text(i).parse::<f64>().map_err(|_| fail(format!("{row:?}: column {i}")));
        let allocation = named(text(0)).ok_or_else(|| fail(format!("no table {}", text(0))))?;
        let used = ChannelUse {
            centre_mhz: number(1)?,
            width_hz: number(2)?,
            power_w: number(3)?,
        };
        let found = check(allocation, &used);
        let word = match found.iter().map(|f| f.weight()).min() {
            Some(Weight::Refused) => "refused",
            Some(Weight::Mind) => "mind",
            None => "fine",
        };
        let differs = if word == text(4) { 0.0 } else { 1.0 };
        if text(0).starts_with("iaru") {
            regions.push(differs);
        } else {
            countries.push(differs);
        }
    }
    Ok(vec![
        row("channels of the three regions that are judged otherwise", regions),
        row("channels of four countries that are judged otherwise", countries),
    ])
}

fn row(what: &str, values: Vec<f64>) -> Row {
    let spread = Spread::of(values);
    Row {
        area: AREA,
        what: what.into(),
        against: DOCUMENTS.into(),
        met: Some(spread.n > 0 && spread.worst == 0.0),
        spread,
        unit: "(0 or 1)",
        bar: "worst <= 0 (0 or 1)".into(),
    }
}
