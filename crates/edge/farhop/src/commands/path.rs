//! `farhop path`: one circuit in full detail.

use farhop_ionosphere::{Observation, SkyConditions};
use farhop_outing::{Units, limits};
use farhop_plan::single::{CircuitQuestion, circuit};
use farhop_propagation::fade_out::flux_of_class;
use farhop_propagation::{Circuit, Events, Flare};
use farhop_show::path::{path_document, path_view};

use crate::args::PathArgs;
use crate::commands::print_json;
use crate::exit::Failure;
use crate::input;
use crate::moment::anywhere;

/// Runs the command.
pub fn run(args: &PathArgs) -> Result<(), Failure> {
    let from = input::place("--from", &args.from)?;
    let to = input::place("--to", &args.to)?;
    let time = anywhere("--at", &args.at)?;
    let field = input::field("--at", time)?;
    let mut conditions = SkyConditions::quiet(input::activity(&args.activity, time)?);
    conditions.k_index = args
        .k
        .map(|k| input::within_limit("--k", k, limits::K_INDEX))
        .transpose()?;
    if let Some(fof2_mhz) = args.fof2 {
        let middle = Circuit::new(from, to).arc.midpoint();
        let reading = Observation::new(middle, time, fof2_mhz).map_err(|e| Failure::input(format!("--fof2: {e}")))?;
        conditions.fixed = Some(reading);
    }
    let question = CircuitQuestion {
        from,
        to,
        time,
        freq_mhz: input::within_limit("--mhz", args.mhz, limits::FREQ_MHZ)?,
        power_w: input::within_limit("--watts", args.watts, limits::POWER_W)?,
        bandwidth_hz: input::within_limit("--bandwidth-hz", args.bandwidth_hz, limits::BANDWIDTH_HZ)?,
        noise: args.noise,
        conditions,
        events: Events {
            flares: args.flare.as_deref().map(flare).transpose()?.into_iter().collect(),
            ..Events::default()
        },
    };
    let answer = circuit(&question, &field).map_err(Failure::ours)?;
    let view = path_view(&question, &answer);
    if args.json {
        print_json(&view)?;
    } else {
        crate::say::out!("{}", path_document(&view, Units::Metric).text());
    }
    Ok(())
}

/// A flare from `CLASS@TIME`.
fn flare(text: &str) -> Result<Flare, Failure> {
    let Some((class, at)) = text.split_once('@') else {
        return Err(Failure::input(format!(
            "--flare: \"{text}\" has no time; write the class and when it begins, as in M5@2026-12-12T01:20Z"
        )));
    };
    Ok(Flare {
        peak_flux_w_per_m2: flux_of_class(class).map_err(|e| Failure::input(format!("--flare: {e}")))?,
        from: anywhere("--flare", at)?,
        until: None,
    })
}
