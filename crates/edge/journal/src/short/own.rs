//! The own station and what is begun: power out, tuner, faults, tasks; foF2 and thunder.

use farhop_day::{Begun, Event, FaultClass, FaultFound, FaultMended, Fof2, PowerOut, Task, Thunder, TunerRefused};
use farhop_earth::parse_place;

use crate::short::call::antenna;
use crate::short::changes::site;
use crate::short::words::{joined, maybe_unit, mhz, number, with_unit};
use crate::short::{Reading, Scene, Wrong};

/// `power WATTS [MHZ] [swr 1.5] [on ANTENNA]`.
pub(super) fn power(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let words = joined(rest);
    let mut words = words.iter();
    let first = words.next().ok_or("how many watts go out?")?;
    let power_w =
        maybe_unit(first, &["watts", "watt", "w"]).ok_or_else(|| format!("\"{first}\" is no number of watts"))?;
    let mut reading = Reading::empty();
    let (mut freq_mhz, mut swr, mut named) = (None, None, None);
    while let Some(word) = words.next() {
        match word.to_lowercase().as_str() {
            "out" => {}
            "swr" => {
                let text = words.next().ok_or("what SWR?")?;
                let value = number(text.strip_suffix(":1").unwrap_or(text));
                swr = Some(value.ok_or_else(|| format!("\"{text}\" is no SWR: a number from 1 up"))?);
            }
            "on" | "with" => {
                let name = words.next().ok_or("which antenna? It comes after `on`")?;
                named = Some(scene.antenna(name)?);
            }
            _ if freq_mhz.is_none() && mhz(word).is_some() => freq_mhz = mhz(word),
            _ => return Err(format!("\"{word}\" is neither a frequency nor `swr 1.5` nor `on ANTENNA`").into()),
        }
    }
    let antenna = match freq_mhz {
        Some(freq_mhz) => antenna(named.as_deref(), freq_mhz, scene, &mut reading),
        None => named,
    };
    reading.event = Event::PowerOut(PowerOut {
        power_w,
        freq_mhz,
        antenna,
        swr,
    });
    Ok(reading)
}

/// `tuner refused [MHZ] [on ANTENNA]`.
pub(super) fn tuner(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let words = joined(rest);
    let mut words = words.iter();
    let (mut freq_mhz, mut named, mut refused) = (None, None, false);
    while let Some(word) = words.next() {
        match word.to_lowercase().as_str() {
            "refused" | "refuses" | "failed" | "no" => refused = true,
            "match" => {}
            "on" | "with" => {
                let name = words.next().ok_or("which antenna? It comes after `on`")?;
                named = Some(scene.antenna(name)?);
            }
            _ if freq_mhz.is_none() && mhz(word).is_some() => freq_mhz = mhz(word),
            _ => return Err(format!("\"{word}\" is neither refused nor a frequency nor `on ANTENNA`").into()),
        }
    }
    if !refused {
        return Err("what did the tuner do? `tuner refused` is an entry; that it works needs none".into());
    }
    let mut reading = Reading::empty();
    let freq_mhz = match (freq_mhz, scene.last_call()) {
        (Some(freq_mhz), _) => freq_mhz,
        (None, Some((entry, call))) => {
            reading.taken.push(format!("{} MHz as in entry {entry}", call.freq_mhz));
            call.freq_mhz
        }
        (None, None) => return Err("on which frequency?".into()),
    };
    let antenna = antenna(named.as_deref(), freq_mhz, scene, &mut reading);
    reading.event = Event::TunerRefused(TunerRefused { freq_mhz, antenna });
    Ok(reading)
}

/// Words that say how a fault shows itself.
const CLASS_WORDS: [(&str, FaultClass); 14] = [
    ("no power", FaultClass::NoPower),
    ("no-power", FaultClass::NoPower),
    ("nothing out", FaultClass::NothingOut),
    ("nothing goes out", FaultClass::NothingOut),
    ("nothing-out", FaultClass::NothingOut),
    ("weak out", FaultClass::WeakOut),
    ("little out", FaultClass::WeakOut),
    ("weak-out", FaultClass::WeakOut),
    ("nothing in", FaultClass::NothingIn),
    ("nothing comes in", FaultClass::NothingIn),
    ("nothing-in", FaultClass::NothingIn),
    ("no modem", FaultClass::NoModem),
    ("no-modem", FaultClass::NoModem),
    ("modem", FaultClass::NoModem),
];

fn class_in(words: &str) -> Option<FaultClass> {
    let lower = words.to_lowercase();
    CLASS_WORDS.iter().find(|(w, _)| lower.contains(w)).map(|w| w.1)
}

/// `fault WORDS`.
pub(super) fn fault(rest: &str) -> Result<Reading, Wrong> {
    let what = rest.trim();
    if what.is_empty() {
        return Err("which part, or what is wrong?".into());
    }
    let class = class_in(what);
    let mut reading = Reading::plain(Event::Fault(FaultFound {
        what: what.to_owned(),
        class: class.unwrap_or(FaultClass::Other),
    }));
    if class.is_none() {
        reading.cautions.push(
            "how does it show? `no power`, `nothing out`, `weak out`, `nothing in` or `no modem` in the words makes the advice better"
                .to_owned(),
        );
    }
    Ok(reading)
}

/// `mended [WORDS]`.
pub(super) fn mended(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let said = rest.trim().to_lowercase();
    let open: Vec<&str> = scene.state.open_faults().map(|f| f.what.as_str()).collect();
    let fits =
        |what: &&&str| said.is_empty() || what.to_lowercase().contains(&said) || said.contains(&what.to_lowercase());
    let fitting: Vec<&str> = open.iter().filter(fits).copied().collect();
    let mut reading = Reading::empty();
    let what = match (fitting.as_slice(), open.as_slice()) {
        ([one], _) | ([], [one]) => {
            if !one.eq_ignore_ascii_case(rest.trim()) {
                reading.taken.push(format!("the fault \"{one}\""));
            }
            (*one).to_owned()
        }
        ([], []) if said.is_empty() => return Err("nothing is known to be wrong; what was mended?".into()),
        ([], []) => {
            reading.cautions.push("no fault was entered before".to_owned());
            rest.trim().to_owned()
        }
        (fitting, open) => {
            let asked = if fitting.is_empty() { open } else { fitting };
            return Err(Wrong {
                problem: format!("Which one? {}", asked.join(" or ")),
                choices: asked.iter().map(|what| format!("mended {what}")).collect(),
            });
        }
    };
    reading.event = Event::Mended(FaultMended { what, class: None });
    Ok(reading)
}

/// `fof2 MHZ [LAT,LON]`.
pub(super) fn fof2(rest: &str) -> Result<Reading, Wrong> {
    let words = joined(rest);
    let first = words.first().ok_or("how many MHz?")?;
    let value = maybe_unit(first, &["mhz"]).ok_or_else(|| format!("\"{first}\" is no number of MHz"))?;
    let place = words[1..]
        .iter()
        .filter(|w| !w.eq_ignore_ascii_case("at"))
        .cloned()
        .collect::<String>();
    let place = (!place.is_empty()).then(|| parse_place(&place)).transpose();
    let place = place.map_err(|e| format!("the place of the ionosonde: {e}"))?;
    Ok(Reading::plain(Event::Fof2(Fof2 {
        fof2_mhz: value,
        lat_deg: place.map(|p| p.lat_deg()),
        lon_deg: place.map(|p| p.lon_deg()),
    })))
}

/// `thunder [SECONDS]`.
pub(super) fn thunder(rest: &str) -> Result<Reading, Wrong> {
    let text: String = rest.split_whitespace().collect();
    let after_flash_s = if text.is_empty() {
        None
    } else {
        let seconds = maybe_unit(&text, &["seconds", "sec", "s"]);
        Some(seconds.ok_or_else(|| format!("\"{rest}\" is no number of seconds from the flash to the thunder"))?)
    };
    Ok(Reading::plain(Event::Thunder(Thunder { after_flash_s })))
}

/// What a task is about, and its minutes at the end.
fn task(rest: &str) -> (String, Option<f64>) {
    let mut words = joined(rest);
    let minutes = words
        .last()
        .and_then(|w| with_unit(w, &["minutes", "mins", "min", "m"]).or_else(|| number(w)))
        .filter(|_| words.len() > 1);
    if minutes.is_some() {
        words.pop();
    }
    (words.join(" "), minutes)
}

fn begun(task: Task, minutes: Option<f64>) -> Reading {
    Reading::plain(Event::Begun(Begun { task, minutes }))
}

/// `hang ANTENNA [20min]`.
pub(super) fn hang(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let (name, minutes) = task(rest);
    if name.is_empty() {
        return Err("which antenna?".into());
    }
    let antenna = scene.antenna(&name)?;
    Ok(begun(Task::Hang { antenna }, minutes))
}

/// `walk SITE [40min]`.
pub(super) fn walk(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let (name, minutes) = task(rest);
    if name.is_empty() {
        return Err("to which site?".into());
    }
    Ok(begun(
        Task::Walk {
            site: site(&name, scene)?,
        },
        minutes,
    ))
}

/// `check WHAT [5min]`.
pub(super) fn check(rest: &str) -> Result<Reading, Wrong> {
    let (what, minutes) = task(rest);
    if what.is_empty() {
        return Err("what is tested?".into());
    }
    Ok(begun(Task::Check { what }, minutes))
}
