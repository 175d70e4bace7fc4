//! Waypoints of a GPX file, of version 1.0 or 1.1, whoever wrote it.

use farhop_earth::{Place, PlaceError};
use quick_xml::Reader;
use quick_xml::XmlVersion;
use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesStart, Event};

/// Most waypoints that are read: an outing has a handful of sites, a long walk some hundreds of points.
pub(crate) const MOST_WAYPOINTS: usize = 1_000;
/// Longest text of an element that is kept, in characters.
const LONGEST_TEXT: usize = 2_000;

/// A waypoint.
#[derive(Clone, Debug, PartialEq)]
pub struct Waypoint {
    /// Where.
    pub place: Place,
    /// Height above the sea, m; none where the file does not say or says no number.
    pub elevation_m: Option<f64>,
    /// Its name; empty where there is none.
    pub name: String,
    /// What is said about it.
    pub notes: String,
}

/// Why a file gives no waypoints.
#[derive(Debug, thiserror::Error)]
pub enum GpxError {
    /// Not XML, or broken XML.
    #[error("line {line}: not readable as XML ({cause}); save it as GPX again")]
    Xml {
        /// Line, counted from 1.
        line: usize,
        /// What the parser says.
        cause: String,
    },
    /// XML, but something else.
    #[error("this is XML, but no GPX: its outermost element is <{0}>, not <gpx>")]
    Other(String),
    /// No element at all.
    #[error("this file holds no GPX")]
    Empty,
    /// A waypoint without a usable place.
    #[error("line {line}: waypoint {number} has no usable place: {cause}")]
    Place {
        /// Line, counted from 1.
        line: usize,
        /// Number of the waypoint, counted from 1.
        number: usize,
        /// What is wrong.
        cause: String,
    },
    /// Too many.
    #[error("more than {MOST_WAYPOINTS} waypoints; keep those where you may stand")]
    TooMany,
    /// The file ends too early.
    #[error("the file ends in the middle; copy it again")]
    Cut,
}

/// The waypoints of a GPX text. Tracks and routes are passed over.
///
/// # Errors
/// Not GPX, broken, cut short, too many, or a waypoint without a usable place.
pub fn waypoints(text: &str) -> Result<Vec<Waypoint>, GpxError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reading = Reading {
        text,
        reader: Reader::from_str(text),
        stack: Vec::new(),
        found: Vec::new(),
        height: String::new(),
        seen_root: false,
    };
    reading.run()?;
    Ok(reading.found)
}

struct Reading<'t> {
    text: &'t str,
    reader: Reader<&'t [u8]>,
    /// Names of the open elements, without prefix.
    stack: Vec<String>,
    found: Vec<Waypoint>,
    /// Text of the height that is being read.
    height: String,
    seen_root: bool,
}

impl Reading<'_> {
    fn run(&mut self) -> Result<(), GpxError> {
        loop {
            let event = self.reader.read_event().map_err(|e| self.xml(&e.to_string()))?;
            match event {
                Event::Start(start) => self.open(&start)?,
                Event::Empty(start) => {
                    self.open(&start)?;
                    self.close();
                }
                Event::End(_) => self.close(),
                Event::Text(text) => self.take(&text.xml10_content()),
                Event::CData(text) => self.take(&text.xml10_content()),
                Event::GeneralRef(name) => {
                    let resolved = match name.resolve_char_ref() {
                        Ok(Some(c)) => c.to_string(),
                        // Only the five entities of XML itself: what a document type defines is never expanded.
                        _ => resolve_xml_entity(&name.xml10_content()).unwrap_or_default().to_owned(),
                    };
                    self.take(&resolved);
                }
                Event::Eof => break,
                Event::Comment(_) | Event::Decl(_) | Event::PI(_) | Event::DocType(_) => {}
            }
        }
        match (self.seen_root, self.stack.is_empty()) {
            (false, _) => Err(GpxError::Empty),
            (true, false) => Err(GpxError::Cut),
            (true, true) => Ok(()),
        }
    }

    fn open(&mut self, start: &BytesStart<'_>) -> Result<(), GpxError> {
        let name = start.local_name().as_ref().to_owned();
        if self.stack.is_empty() {
            if name != "gpx" {
                return Err(GpxError::Other(printable(&name)));
            }
            self.seen_root = true;
        }
        if self.stack.len() == 1 && name == "wpt" {
            self.waypoint(start)?;
        }
        if self.field() == Some("") && name == "ele" {
            self.height.clear();
        }
        self.stack.push(name);
        Ok(())
    }

    fn waypoint(&mut self, start: &BytesStart<'_>) -> Result<(), GpxError> {
        if self.found.len() == MOST_WAYPOINTS {
            return Err(GpxError::TooMany);
        }
        let place = self.place(start).map_err(|cause| GpxError::Place {
            line: self.line(),
            number: self.found.len() + 1,
            cause,
        })?;
        self.found.push(Waypoint {
            place,
            elevation_m: None,
            name: String::new(),
            notes: String::new(),
        });
        Ok(())
    }

    fn place(&self, start: &BytesStart<'_>) -> Result<Place, String> {
        let number = |name: &str| -> Result<f64, String> {
            let attribute = start.try_get_attribute(name).map_err(|e| e.to_string())?;
            let attribute = attribute.ok_or(format!("`{name}` is missing"))?;
            let value = attribute
                .normalized_value(XmlVersion::Implicit1_0)
                .map_err(|e| e.to_string())?;
            value
                .trim()
                .parse()
                .map_err(|_| format!("`{name}` is \"{}\", not a number", printable(&value)))
        };
        Place::new(number("lat")?, number("lon")?).map_err(|e: PlaceError| e.to_string())
    }

    /// The element directly inside a waypoint in which the reader stands: empty for the waypoint itself, none elsewhere.
    fn field(&self) -> Option<&str> {
        match &self.stack[..] {
            [_, wpt] if wpt == "wpt" => Some(""),
            [_, wpt, field] if wpt == "wpt" => Some(field),
            _ => None,
        }
    }

    fn take(&mut self, text: &str) {
        let field = self.field().unwrap_or_default().to_owned();
        let Some(last) = self.found.last_mut() else { return };
        match field.as_str() {
            "name" => append(&mut last.name, text),
            "desc" | "cmt" => append(&mut last.notes, text),
            "ele" => append(&mut self.height, text),
            _ => {}
        }
    }

    fn close(&mut self) {
        let field = self.field().unwrap_or_default().to_owned();
        if let Some(last) = self.found.last_mut() {
            match field.as_str() {
                "ele" => last.elevation_m = self.height.trim().parse().ok().filter(|h: &f64| h.is_finite()),
                // Comment and description of the same words are said once, of different words one after the other.
                "desc" | "cmt" => last.notes.push('\n'),
                "" => {
                    last.name = printable(&last.name);
                    last.notes = once(&last.notes);
                }
                _ => {}
            }
        }
        self.stack.pop();
    }

    fn line(&self) -> usize {
        let at = usize::try_from(self.reader.buffer_position()).unwrap_or(0);
        let before = self.text.as_bytes().get(..at).unwrap_or_default();
        1 + before.iter().filter(|b| **b == b'\n').count()
    }

    fn xml(&self, cause: &str) -> GpxError {
        GpxError::Xml {
            line: self.line(),
            cause: printable(cause),
        }
    }
}

fn append(to: &mut String, text: &str) {
    let room = LONGEST_TEXT.saturating_sub(to.chars().count());
    to.extend(text.chars().take(room));
}

/// One line without signs that a terminal would act upon.
fn printable(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Lines, each once.
fn once(text: &str) -> String {
    let mut lines: Vec<String> = Vec::new();
    for line in text.lines().map(printable).filter(|l| !l.is_empty()) {
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines.join(" ")
}
