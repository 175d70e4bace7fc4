//! Contacts in the Amateur Data Interchange Format (ADIF 3.1.6, the ADI form).
//!
//! Field names, data types and enumerations are checked in the tests against the specification's own exports. A contact is a call
//! that was linked or delivered; calls without one are no contacts and stay out.

mod field;
mod record;

use farhop_earth::UtcTime;

pub use field::{BANDS, FIELDS, FieldKind, band};

use farhop_day::{DayState, Event};
use field::{Fields, date, time};

/// Version of the specification that is written.
pub(crate) const ADIF_VERSION: &str = "3.1.6";

/// Mode written unless another is asked for: the specification's word for modems that adapt to the channel.
pub const USUAL_MODE: &str = "DYNAMIC";

/// What an export needs beside the entries.
#[derive(Clone, Copy)]
pub struct AdifSetting<'a> {
    /// Name of the writing program.
    pub program: &'a str,
    /// Its version.
    pub version: &'a str,
    /// When the file is made.
    pub made_at: UtcTime,
    /// Mode of the contacts.
    pub mode: &'a str,
}

/// The contacts of a day as a file, and how many there are.
#[must_use]
pub fn adif(day: &DayState, setting: &AdifSetting<'_>) -> (String, usize) {
    let mut text = header(setting);
    let mut count = 0;
    for entry in &day.entries {
        if let Event::Called(call) = &entry.account.event
            && let Some(fields) = record::contact(entry, call, day, setting)
        {
            text += &fields.text();
            text += "<EOR>\r\n";
            count += 1;
        }
    }
    (text, count)
}

fn header(setting: &AdifSetting<'_>) -> String {
    let mut fields = Fields::default();
    fields.put("ADIF_VER", ADIF_VERSION);
    let stamp = format!("{} {}", date(setting.made_at), time(setting.made_at));
    fields.put("CREATED_TIMESTAMP", &stamp);
    fields.put("PROGRAMID", setting.program);
    fields.put("PROGRAMVERSION", setting.version);
    // A header must not begin with the sign that begins a field.
    format!("Contacts of an outing.\r\n{}<EOH>\r\n\r\n", fields.text())
}
