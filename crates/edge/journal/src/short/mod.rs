//! Short forms that a cold hand can type: `call larch 3.59 no`, `noise 7 -105 2400`, `volt 12.4`.
//!
//! [`understand`] turns one into what an entry holds, fills in what was not said from the state of the day, and says so.

mod call;
mod changes;
mod channel;
mod form;
mod measures;
mod names;
mod own;
mod passed;
mod readings;
mod station;
mod when;
mod words;

use farhop_earth::UtcTime;
use farhop_outing::Outing;

pub use form::{FORMS, Form, Verb, help};

use farhop_day::{
    Account, Body, Change, Correction, DayState, Entry, Event, Note, Source, Spot, questions, standing, state,
};
use farhop_outing::clock;
use names::{Named, Pick, pick};

/// The day into which a form is read.
#[derive(Clone, Copy)]
pub struct Setting<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// Everything in the journal so far, in the order of entry.
    pub entries: &'a [Entry],
    /// The instant of entering.
    pub now: UtcTime,
    /// When it happened, as typed apart from the form (`14:35`, `-20m`); none means what the form says, else now.
    pub at: Option<&'a str>,
    /// Who operates, if several do.
    pub who: Option<&'a str>,
}

/// What a form means.
#[derive(Clone, Debug, PartialEq)]
pub struct Understood {
    /// What the entry is to hold.
    pub body: Body,
    /// What was not said and taken, each in a few words: `5 W, the usual setting`.
    pub taken: Vec<String>,
    /// What deserves a second look.
    pub cautions: Vec<String>,
}

/// A form that cannot be understood.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{problem}\n{wanted}")]
pub struct ShortError {
    /// What is wrong.
    pub problem: String,
    /// What was expected, with an example.
    pub wanted: String,
    /// Whole forms to choose from, where what was typed fits several things.
    pub choices: Vec<String>,
}

/// What is wrong with a form, while it is being read.
#[derive(Debug)]
struct Wrong {
    problem: String,
    choices: Vec<String>,
}

impl From<String> for Wrong {
    fn from(problem: String) -> Self {
        Self {
            problem,
            choices: Vec::new(),
        }
    }
}

impl From<&str> for Wrong {
    fn from(problem: &str) -> Self {
        problem.to_owned().into()
    }
}

/// An event with what was taken for granted, while a form is being read.
struct Reading {
    event: Event,
    /// The account began so many minutes before it was entered, unless a time was given.
    began_min_ago: f64,
    taken: Vec<String>,
    cautions: Vec<String>,
}

impl Reading {
    fn plain(event: Event) -> Self {
        Self {
            event,
            began_min_ago: 0.0,
            taken: Vec::new(),
            cautions: Vec::new(),
        }
    }

    /// Nothing yet; the event follows.
    fn empty() -> Self {
        Self::plain(Event::Note(Note { words: String::new() }))
    }
}

/// What the readers of single forms look at.
struct Scene<'a> {
    outing: &'a Outing,
    state: DayState,
}

/// What a form means on this day.
///
/// # Errors
/// What is wrong, what was expected, and an example with names of this outing.
pub fn understand(text: &str, setting: &Setting<'_>) -> Result<Understood, ShortError> {
    let first = text.split_whitespace().next().unwrap_or("");
    let (inner_at, text) = if when::looks_like_time(first) {
        (Some(first), text.trim_start()[first.len()..].trim())
    } else {
        (None, text.trim())
    };
    let typed_at = setting.at.or(inner_at);
    let verb = verb(text, setting.outing)?;
    let rest = text.split_once(char::is_whitespace).map_or("", |(_, rest)| rest.trim());
    match verb {
        Verb::Fix => fix(rest, typed_at, setting),
        Verb::Strike => strike(rest, setting),
        _ => account(verb, rest, typed_at, setting),
    }
}

fn verb(text: &str, outing: &Outing) -> Result<Verb, ShortError> {
    let word = text.split_whitespace().next().unwrap_or("");
    let candidates: Vec<Named<'_, Verb>> = FORMS
        .iter()
        .map(|f| Named {
            names: f.names(),
            value: f.verb,
        })
        .collect();
    let all = "All forms: `farhop log` alone shows them.";
    let refused = |problem: String, near: &[&'static Form]| {
        let shapes: Vec<String> = near.iter().take(2).map(|f| f.example(outing)).collect();
        let example = shapes.join(", or ");
        ShortError {
            problem,
            wanted: format!("For example: {example}\n{all}"),
            choices: Vec::new(),
        }
    };
    if word.is_empty() {
        return Err(refused("there is nothing to enter".to_owned(), &[Form::of(Verb::Call)]));
    }
    match pick(word, &candidates) {
        Pick::One(verb) => Ok(verb),
        Pick::Many(names) => {
            let near: Vec<&Form> = FORMS.iter().filter(|f| names.iter().any(|n| n == f.word)).collect();
            let problem = format!("\"{word}\" may be {}; write a little more", names.join(" or "));
            Err(refused(problem, &near))
        }
        Pick::None(near) => {
            let form = near.and_then(|n| FORMS.iter().find(|f| f.word == n));
            let hint = form.map_or_else(String::new, |f| format!("; did you mean {}?", f.word));
            let problem = format!("\"{word}\" is no word to begin with{hint}");
            Err(refused(problem, &[form.unwrap_or(Form::of(Verb::Note))]))
        }
    }
}

/// An error with the form that was expected: at most four lines.
fn error(verb: Verb, wrong: impl Into<Wrong>, outing: &Outing) -> ShortError {
    let form = Form::of(verb);
    let Wrong { problem, choices } = wrong.into();
    let wanted = match choices.first() {
        Some(first) => format!("Write for example: {first}"),
        None => format!("Write: {}\nFor example: {}", form.shape, form.example(outing)),
    };
    ShortError {
        problem: format!("{}: {problem}", form.word),
        wanted,
        choices,
    }
}

fn account(verb: Verb, rest: &str, typed_at: Option<&str>, setting: &Setting<'_>) -> Result<Understood, ShortError> {
    let wrong = |problem: String| error(verb, problem, setting.outing);
    let zone = clock::zone(setting.outing);
    let given = typed_at.map(|text| when::instant(text, setting.now, &zone)).transpose();
    let given = given.map_err(wrong)?;
    let at = given.as_ref().map_or(setting.now, |(at, _)| *at);
    let scene = Scene {
        outing: setting.outing,
        state: state(&standing(setting.entries), setting.outing, at),
    };
    let reading = read(verb, rest, &scene).map_err(|w| error(verb, w, setting.outing))?;
    let began_s = if given.is_none() {
        (reading.began_min_ago * 60.0) as i64
    } else {
        0
    };
    let place = scene.place_of(&reading.event);
    let odd = questions(&reading.event, &scene.state);
    let mut understood = Understood {
        body: Body::Account(Account {
            at: at.add_s(-began_s),
            place,
            who: setting.who.map(str::to_owned),
            event: reading.event,
        }),
        taken: reading.taken,
        cautions: reading.cautions,
    };
    crate::check::body(&understood.body).map_err(wrong)?;
    understood.cautions.extend(given.and_then(|(_, caution)| caution));
    understood.cautions.extend(out_of_time(at, setting));
    understood.cautions.extend(odd.iter().map(ToString::to_string));
    Ok(understood)
}

fn read(verb: Verb, rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    match verb {
        Verb::Call => call::read(rest, scene),
        Verb::Heard => readings::heard(rest, scene),
        Verb::Noise => readings::noise(rest, scene),
        Verb::Swr => readings::swr(rest, scene),
        Verb::Volt => readings::volt(rest),
        Verb::Panel => readings::panel(rest),
        Verb::Weather => readings::weather(rest),
        Verb::K => readings::broadcast("k", rest),
        Verb::A => readings::broadcast("a", rest),
        Verb::Flux => readings::broadcast("flux", rest),
        Verb::At => changes::moved(rest, scene),
        Verb::Antenna => measures::antenna(rest, scene),
        Verb::Write => changes::write(rest),
        Verb::Withdraw => changes::withdraw(rest, scene),
        Verb::Note => changes::note(rest),
        Verb::Busy => station::busy(rest, scene),
        Verb::Silent => station::silent(rest, scene),
        Verb::Dead => station::dead(rest, scene),
        Verb::Sent => call::sent(rest, scene),
        Verb::Received => passed::received(rest, scene),
        Verb::Power => own::power(rest, scene),
        Verb::Tuner => own::tuner(rest, scene),
        Verb::Fault => own::fault(rest),
        Verb::Mended => own::mended(rest, scene),
        Verb::Fof2 => own::fof2(rest),
        Verb::Thunder => own::thunder(rest),
        Verb::Hang => own::hang(rest, scene),
        Verb::Walk => own::walk(rest, scene),
        Verb::Check => own::check(rest),
        Verb::Fix | Verb::Strike => Err("this changes another entry and holds none itself".into()),
    }
}

impl Scene<'_> {
    fn place_of(&self, event: &Event) -> Option<Spot> {
        match event {
            Event::Moved(spot) => Some(spot.clone()),
            _ => {
                let stay = self.state.stay.as_ref().filter(|stay| stay.source != Source::Guess);
                stay.map(|stay| stay.spot.clone())
            }
        }
    }
}

fn out_of_time(at: UtcTime, setting: &Setting<'_>) -> Option<String> {
    let header = &setting.outing.header;
    let told = |t| clock::day_and_time(t, setting.outing);
    if at > setting.now.add_s(3_600) {
        Some(format!("{} is still to come", told(at)))
    } else if at < header.start {
        Some(format!(
            "{} is before the outing, which begins {}",
            told(at),
            told(header.start)
        ))
    } else if at > header.end {
        Some(format!(
            "{} is after the outing, which ended {}",
            told(at),
            told(header.end)
        ))
    } else {
        None
    }
}

fn target<'a>(word: &str, setting: &Setting<'a>) -> Result<&'a Entry, String> {
    let number: Option<u64> = word.trim_start_matches('#').parse().ok();
    let number = number.ok_or_else(|| format!("\"{word}\" is not the number of an entry"))?;
    let found = setting.entries.iter().find(|e| e.number == number);
    found.ok_or_else(|| match setting.entries.last() {
        Some(last) => format!("there is no entry {number}; the last is {}", last.number),
        None => "the journal is empty".to_owned(),
    })
}

fn strike(rest: &str, setting: &Setting<'_>) -> Result<Understood, ShortError> {
    let entry = target(rest, setting).map_err(|problem| error(Verb::Strike, problem, setting.outing))?;
    Ok(correction(entry, Change::Strike, setting))
}

fn correction(entry: &Entry, change: Change, setting: &Setting<'_>) -> Understood {
    Understood {
        body: Body::Correction(Correction {
            of: entry.key.clone(),
            who: setting.who.map(str::to_owned),
            change,
        }),
        taken: Vec::new(),
        cautions: Vec::new(),
    }
}

/// The new form is read as if it had been entered when the old one happened, and keeps its place and operator.
fn fix(rest: &str, typed_at: Option<&str>, setting: &Setting<'_>) -> Result<Understood, ShortError> {
    let wrong = |problem: String| error(Verb::Fix, problem, setting.outing);
    let (number, form) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
    let entry = target(number, setting).map_err(wrong)?;
    let now_standing = standing(setting.entries);
    let present = now_standing.iter().find(|s| s.key == entry.key).map(|s| &s.account);
    let old = match (&entry.body, present) {
        (Body::Account(original), present) => present.unwrap_or(original),
        (Body::Correction(_), _) => {
            return Err(wrong(format!(
                "entry {number} is itself a correction; fix the entry that it is about, or take it back"
            )));
        }
    };
    let others: Vec<Entry> = setting.entries.iter().filter(|e| e.key != entry.key).cloned().collect();
    let zone = clock::zone(setting.outing);
    let (at, caution) = match typed_at {
        Some(text) => when::instant(text, setting.now, &zone).map_err(wrong)?,
        None => (old.at, None),
    };
    if form.trim().is_empty() {
        if typed_at.is_none() {
            return Err(wrong(
                "how was it instead? Neither a form nor a time is given".to_owned(),
            ));
        }
        let moved = Account { at, ..old.clone() };
        let mut understood = correction(entry, Change::Replace(moved), setting);
        understood.cautions.extend(caution);
        return Ok(understood);
    }
    let at_text = at.to_string();
    let inner = Setting {
        entries: &others,
        at: Some(&at_text),
        ..*setting
    };
    let mut understood = understand(form, &inner)?;
    let Body::Account(mut account) = understood.body else {
        return Err(wrong("a correction cannot stand in the place of an entry".to_owned()));
    };
    account.place = account.place.or_else(|| old.place.clone());
    account.who = old.who.clone().or(account.who);
    let mut fixed = correction(entry, Change::Replace(account), setting);
    fixed.taken.append(&mut understood.taken);
    fixed.cautions.append(&mut understood.cautions);
    fixed.cautions.extend(caution);
    Ok(fixed)
}
