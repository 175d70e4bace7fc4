//! Energy through the outing: one sentence, a table, a chart, a picture, and everything as JSON.

mod chart;
mod drawing;
mod in_plan;
mod text;
pub mod view;
mod words;

use farhop_outing::Outing;
use farhop_plan::power::EnergyForecast;

use crate::reader::Reader;

/// What the reports are made from.
#[derive(Clone, Debug)]
pub struct EnergyReport<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// The forecast.
    pub forecast: &'a EnergyForecast,
    /// Who reads.
    pub reader: Reader,
    /// Defaults worth telling.
    pub defaults: Vec<String>,
}
