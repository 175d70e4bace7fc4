//! The picture that all pages share, for wide and for narrow screens.

use farhop_earth::UtcTime;
use farhop_next::today::Today;
use farhop_show::ribbon::{Came, Ribbon, Shape};
use maud::{Markup, PreEscaped, html};

use crate::desk::Ready;

/// What of the ribbon is shown.
#[derive(Clone, Copy, Default)]
pub struct Asked<'a> {
    /// The day as it stands; none before it.
    pub today: Option<&'a Today>,
    /// From when to when; the whole outing otherwise.
    pub window: Option<(UtcTime, UtcTime)>,
    /// Rows for messages, charge and place.
    pub day: bool,
    /// Of the day only what belongs to the message of the bottom line.
    pub lead_only: bool,
    /// A row a station.
    pub stations: bool,
}

/// The figure.
pub fn ribbon(ready: &Ready, asked: Asked<'_>, caption: &str) -> Markup {
    let ribbon = Ribbon {
        outing: &ready.outing,
        plan: &ready.plan,
        reader: &ready.reader,
        now: asked.today.map(|t| t.now),
        came: asked.today.map_or_else(Vec::new, |today| came(ready, today)),
        window: asked.window,
        day: asked.day,
        lead_only: asked.lead_only,
        stations: asked.stations,
    };
    html! {
        figure.picture.ribbon {
            div.broad { (PreEscaped(ribbon.drawing(Shape::Wide))) }
            div.narrow { (PreEscaped(ribbon.drawing(Shape::Tall))) }
            figcaption { (caption) }
        }
    }
}

/// What came of each message of the outing.
fn came(ready: &Ready, today: &Today) -> Vec<Came> {
    let one = |message: &farhop_outing::Message| {
        let state = today.messages.iter().find(|s| s.message.id == message.id);
        match state {
            Some(state) if !state.left() => state.last.as_ref().map_or(Came::Nothing, |sent| Came::Through(sent.at)),
            _ if today.now > message.deadline => Came::Late,
            _ => Came::Nothing,
        }
    };
    ready.outing.messages.iter().map(one).collect()
}
