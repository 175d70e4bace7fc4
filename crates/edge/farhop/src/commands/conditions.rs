//! `farhop conditions`: what is known about the sky, from a file or from an address that the user gives.

use std::path::Path;

use farhop_earth::clock::rfc3339;
use farhop_exchange::conditions::{Dated, Proposal, Timing, Understood, edited, propose, understand};
use farhop_exchange::fetch::{Bounds, fetch};
use farhop_outing::Outing;
use farhop_plan::setting::Setting;
use farhop_show::sky::activity_source;
use farhop_show::wrap::paragraph;
use farhop_store::open::{read_outing_text, read_text, usable};
use serde_json::{Value, json};

use crate::args::ConditionsArgs;
use crate::commands::print_json;
use crate::exit::Failure;
use crate::files;
use crate::outing::load;

/// Runs the command.
pub fn run(args: &ConditionsArgs) -> Result<(), Failure> {
    let loaded = load(&args.outing)?;
    let text = match (&args.file, &args.fetch) {
        (Some(file), _) => read_text(file).map_err(Failure::input)?,
        (None, Some(address)) => fetched(address, args.timeout)?,
        (None, None) => return in_use(&loaded.outing),
    };
    let understood = understand(&text).map_err(Failure::input)?;
    if let Some(now) = crate::moment::clock() {
        understood.not_from_the_future(now).map_err(Failure::input)?;
    }
    let header = &loaded.outing.header;
    let proposal = propose(&understood, header.start, header.end);
    if args.json {
        print_json(&view(&understood, &proposal))?;
    } else {
        crate::say::out!("{}", shown(&understood, &proposal));
    }
    if args.write {
        write(args.outing.outing.as_deref(), &proposal)?;
    }
    Ok(())
}

fn fetched(address: &str, timeout_s: u64) -> Result<String, Failure> {
    let bounds = Bounds {
        time: std::time::Duration::from_secs(timeout_s),
        ..Bounds::default()
    };
    anstream::eprintln!("Asking {address} (nothing but the request goes out)");
    fetch(address, &bounds).map_err(|e| Failure::input(format!("--fetch: {e}")))
}

/// What the outing rests on as it stands.
fn in_use(outing: &Outing) -> Result<(), Failure> {
    let setting = Setting::new(outing).map_err(Failure::input)?;
    let activity = &setting.conditions.activity;
    let k = match (&setting.conditions.k_series, setting.conditions.k_index) {
        (Some(series), _) => format!(
            "K {:.1} at its beginning, by day or by three hours",
            series.at(outing.header.start)
        ),
        (None, Some(k)) => format!("K {k:.1}"),
        (None, None) => "K not given, taken as quiet".to_owned(),
    };
    let said = format!(
        "{}: sunspot number R12 {:.0} ± {:.0}, flux {:.0} sfu ({}); {k}; {} measured foF2.",
        outing.header.name,
        activity.r12(),
        activity.r12_sd(),
        activity.flux_sfu(),
        activity_source(activity),
        setting.conditions.observed.len()
    );
    crate::say::out!("{}", paragraph(&said, "", "  "));
    let how = "To use a forecaster's text: farhop conditions OUTING.toml --file TEXT, or --fetch URL; with --write the lines go \
               into the file.";
    crate::say::out!("{}", paragraph(how, "", "  "));
    Ok(())
}

/// What was understood, as remarks, above the lines to use: all of it can stand in an outing file as it is.
fn shown(understood: &Understood, proposal: &Proposal) -> String {
    let mut out = String::new();
    let mut say = |text: String| out.push_str(&paragraph(&text, "# ", "#   "));
    let issued = understood
        .issued
        .map_or_else(String::new, |at| format!(", issued {}", rfc3339(at)));
    say(format!("Understood as {}{issued}.", understood.form.words()));
    let values = [
        ("sunspot number R12", understood.ssn, ""),
        ("solar flux", understood.flux_sfu, " sfu"),
        ("A index", understood.a_index, ""),
        ("K index", understood.k_index, ""),
    ];
    for (what, value, unit) in values {
        if let Some(Dated { value_own_unit, at }) = value {
            let when = at.map_or_else(String::new, |at| format!(", {}", rfc3339(at)));
            say(format!("{what} {value_own_unit}{unit}{when}"));
        }
    }
    for level in &understood.levels {
        let timing = match level.timing {
            Timing::Exact => "since",
            Timing::Observed => "observed within the day from",
            Timing::Foretold => "foretold for the day from",
        };
        say(format!("level {} {timing} {}", level.words(), rfc3339(level.from)));
    }
    if let (Some(first), Some(last)) = (understood.forecast.first(), understood.forecast.last()) {
        say(format!(
            "forecast from {} to {}",
            rfc3339(first.from),
            rfc3339(last.until)
        ));
    }
    for caution in &proposal.cautions {
        say(format!("Mind: {caution}"));
    }
    if proposal.is_empty() {
        say("Nothing of it says anything about this outing.".to_owned());
    } else {
        out.push_str(&proposal.text());
    }
    out
}

fn view(understood: &Understood, proposal: &Proposal) -> Value {
    let dated = |value: Option<Dated>| value.map(|d| json!({ "value": d.value_own_unit, "at": d.at.map(rfc3339) }));
    let proposed: serde_json::Map<String, Value> = proposal
        .values
        .iter()
        .map(|(key, value, from)| ((*key).to_owned(), json!({ "value": value, "from": from })))
        .collect();
    json!({
        "form": understood.form.words(),
        "issued": understood.issued.map(rfc3339),
        "ssn": dated(understood.ssn),
        "flux_sfu": dated(understood.flux_sfu),
        "flux_mean_sfu": understood.flux_mean_sfu,
        "a": dated(understood.a_index),
        "k": dated(understood.k_index),
        "levels": understood.levels.iter().map(|l| json!({
            "level": l.words(), "from": rfc3339(l.from), "until": l.until.map(rfc3339),
        })).collect::<Vec<_>>(),
        "flare": proposal.flares.iter().map(|f| json!({
            "class": f.class, "at": rfc3339(f.at), "until": f.until.map(rfc3339),
        })).collect::<Vec<_>>(),
        "polar_cap": proposal.polar_cap.iter().map(|p| json!({
            "flux": p.flux_per_cm2_s_sr, "from": rfc3339(p.from), "until": p.until.map(rfc3339),
        })).collect::<Vec<_>>(),
        "forecast_rows": understood.forecast.len(),
        "conditions": proposed,
        "fof2": proposal.fof2.iter().map(|f| json!({
            "mhz": f.fof2_mhz, "at": rfc3339(f.at), "place": f.place.to_string(),
        })).collect::<Vec<_>>(),
        "cautions": proposal.cautions,
    })
}

/// Puts the lines into the outing file, when it is still usable with them.
fn write(outing: Option<&Path>, proposal: &Proposal) -> Result<(), Failure> {
    let Some(path) = outing else {
        return Err(Failure::input(
            "--write needs an outing file of your own; the demo stays as it is",
        ));
    };
    if proposal.is_empty() {
        return Err(Failure::input(format!(
            "nothing to write; {} was left as it is",
            path.display()
        )));
    }
    let old = read_text(path).map_err(Failure::input)?;
    let new = edited(&old, proposal).map_err(Failure::input)?;
    usable(read_outing_text(&new, path))
        .map_err(|why| Failure::input(format!("with these lines {why}\n{} was left as it is", path.display())))?;
    files::replace_whole(path, new.as_bytes())?;
    anstream::eprintln!("Written into [conditions] of {}", path.display());
    Ok(())
}
