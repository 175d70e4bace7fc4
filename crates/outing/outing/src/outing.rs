//! The whole outing, and the only way to make a checked one.

use std::ops::Deref;

use farhop_earth::UtcTime;

use crate::antenna::Antenna;
use crate::check::{self, Flaw, Severity};
use crate::conditions::Conditions;
use farhop_earth::units::Units;

use crate::id::Callsign;
use crate::kit::Kit;
use crate::ladder::Ladder;
use crate::message::Message;
use crate::site::Site;
use crate::station::Station;

/// Who operates, and under which rules.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Operator {
    /// Own callsign.
    pub callsign: Option<Callsign>,
    /// Name of the allocation table that binds the operator, for example `iaru-region-3`.
    pub allocation: Option<String>,
}

/// What the `[outing]` section says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Header {
    /// Name for people.
    pub name: String,
    /// First instant.
    pub start: UtcTime,
    /// First instant after the outing.
    pub end: UtcTime,
    /// IANA name of the time zone in which people read times.
    pub time_zone: String,
    /// Units for people.
    pub units: Units,
    /// The operator.
    pub operator: Operator,
    /// Share of the battery that must be left at the end (dimensionless), 0 to 1.
    pub reserve: f64,
    /// Anything worth remembering.
    pub notes: String,
}

/// What is entered so long before the outing, or so long after it, still belongs to it, s: a day (a judgement).
const AROUND_S: i64 = 86_400;

impl Header {
    /// Whether what is entered at an instant belongs to the outing: from a day before it to a day after it.
    #[must_use]
    pub fn counts(&self, at: UtcTime) -> bool {
        (self.start.add_s(-AROUND_S)..=self.last_that_counts()).contains(&at)
    }

    /// The last instant of which an entry belongs to the outing.
    #[must_use]
    pub fn last_that_counts(&self) -> UtcTime {
        self.end.add_s(AROUND_S)
    }
}

/// An outing as written down, not yet checked.
#[derive(Clone, Debug, PartialEq)]
pub struct OutingParts {
    /// Name, dates, zone, operator.
    pub header: Header,
    /// Candidate operating places.
    pub sites: Vec<Site>,
    /// Correspondents.
    pub stations: Vec<Station>,
    /// What is carried.
    pub kit: Kit,
    /// What has to get through.
    pub messages: Vec<Message>,
    /// What is known beforehand.
    pub conditions: Conditions,
    /// Own rate ladders.
    pub ladders: Vec<Ladder>,
}

/// An outing whose numbers, names and references all hold.
///
/// Its parts are read through `Deref`: `outing.sites`, `outing.kit.antennas`. They cannot be changed; take them out with
/// [`Outing::into_parts`], change them and check again.
#[derive(Clone, Debug, PartialEq)]
pub struct Outing {
    parts: OutingParts,
    cautions: Vec<Flaw>,
}

impl Outing {
    /// Checks everything at once.
    ///
    /// # Errors
    /// All flaws, cautions included, when at least one of them is an error.
    pub fn new(parts: OutingParts) -> Result<Self, Vec<Flaw>> {
        let flaws = check::all(&parts);
        if flaws.iter().any(|f| f.severity == Severity::Error) {
            Err(flaws)
        } else {
            Ok(Self { parts, cautions: flaws })
        }
    }

    /// What is allowed but deserves a second look.
    #[must_use]
    pub fn cautions(&self) -> &[Flaw] {
        &self.cautions
    }

    /// Name of an antenna of the kit for people; the id itself where there is no such antenna or it has no name.
    #[must_use]
    pub fn antenna_name(&self, id: &str) -> String {
        let name = self.parts.kit.antenna(id).map(|a| a.name.clone());
        name.filter(|n| !n.is_empty()).unwrap_or_else(|| id.to_owned())
    }

    /// The parts, to be changed and checked again.
    #[must_use]
    pub fn into_parts(self) -> OutingParts {
        self.parts
    }

    /// The site with an id.
    #[must_use]
    pub fn site(&self, id: &str) -> Option<&Site> {
        self.sites.iter().find(|s| s.id.as_str() == id)
    }

    /// The station with an id or a callsign (small or capital letters).
    #[must_use]
    pub fn station(&self, id: &str) -> Option<&Station> {
        let by_id = self.stations.iter().find(|s| s.id.as_str() == id);
        by_id.or_else(|| {
            self.stations
                .iter()
                .find(|s| s.callsign.as_str().eq_ignore_ascii_case(id))
        })
    }

    /// The message with an id.
    #[must_use]
    pub fn message(&self, id: &str) -> Option<&Message> {
        self.messages.iter().find(|m| m.id.as_str() == id)
    }

    /// The antennas as they hang at a site: those that are carried, with the site's own numbers, without those left out.
    pub fn antennas_at<'a>(&'a self, site: &'a Site) -> impl Iterator<Item = &'a Antenna> {
        let usable = |a: &&Antenna| self.kit.carries(a.id.as_str()) && !site.without.contains(&a.id);
        let here = self.kit.antennas.iter().filter(usable);
        here.map(|a| site.antennas.iter().find(|own| own.id == a.id).unwrap_or(a))
    }

    /// From when to when the operator is at a site, inside the outing.
    #[must_use]
    pub fn stay_at(&self, site: &Site) -> (UtcTime, UtcTime) {
        (
            site.from.unwrap_or(self.header.start),
            site.until.unwrap_or(self.header.end),
        )
    }

    /// The stations that may take a message.
    pub fn takers_of<'a>(&'a self, message: &'a Message) -> impl Iterator<Item = &'a Station> {
        self.stations
            .iter()
            .filter(|s| message.to.is_empty() || message.to.contains(&s.id))
    }

    /// The own ladder with a name.
    #[must_use]
    pub fn ladder(&self, name: &str) -> Option<&Ladder> {
        self.ladders.iter().find(|l| l.name == name)
    }
}

impl Deref for Outing {
    type Target = OutingParts;

    fn deref(&self) -> &OutingParts {
        &self.parts
    }
}
