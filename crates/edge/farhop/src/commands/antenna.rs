//! `farhop antenna`: what a wire does, where it is really hung.

use std::path::Path;

use farhop_earth::{GroundClass, GroundConstants};
use farhop_forecast::engine::{SolvedAntenna, built_at, solve_antenna};
use farhop_outing::{Antenna, AntennaKind, Outing, limits};
use farhop_report::antenna::compare::{Aim, ranking, ranking_text};
use farhop_report::antenna::drawing::drawing;
use farhop_report::antenna::text::antenna_text;
use farhop_report::antenna::view::{AntennaView, band_view};
use farhop_report::antenna::wire_list;
use rayon::prelude::*;

use crate::args::{AimArg, AntennaArgs, GroundArg, OutingArg};
use crate::commands::print_json;
use crate::exit::Failure;
use crate::input;
use crate::outing::{load, read_text};
use crate::typical;

/// Frequencies used where nothing says which, MHz: the amateur bands that field gateways use.
const USUAL_MHZ: [f64; 5] = [3.6, 5.36, 7.05, 10.14, 14.1];

/// Runs the command.
pub fn run(args: &AntennaArgs) -> Result<(), Failure> {
    if let Some(file) = &args.wires {
        return wires(file, args);
    }
    let (antennas, outing) = chosen(args)?;
    let ground = ground(args, outing.as_ref());
    let power_w = outing.as_ref().map_or(5.0, |o| o.kit.transceiver.power_w);
    let freqs_mhz = frequencies(args, outing.as_ref())?;
    let views: Vec<AntennaView> = antennas.iter().map(|a| view(a, &ground, &freqs_mhz, power_w)).collect();
    if let Some(file) = &args.svg {
        write_svg(file, &antennas[0], ground.1, &freqs_mhz)?;
    }
    show(args, &views)
}

fn show(args: &AntennaArgs, views: &[AntennaView]) -> Result<(), Failure> {
    if args.compare.is_empty() {
        if args.json {
            return print_json(&views);
        }
        for view in views {
            anstream::println!("{}", antenna_text(view));
        }
        return Ok(());
    }
    let aim = match args.aim {
        AimArg::Near => Aim::Near,
        AimArg::Far => Aim::Far,
    };
    let ranks = ranking(views, aim);
    if args.json {
        print_json(&ranks)
    } else {
        anstream::print!("{}", ranking_text(&ranks, aim));
        Ok(())
    }
}

/// The antennas asked for, and the outing they come from, if any.
fn chosen(args: &AntennaArgs) -> Result<(Vec<Antenna>, Option<Outing>), Failure> {
    let word = args.what.as_deref().unwrap_or_default();
    if AntennaKind::WORDS.contains(&word) {
        let antenna = typical::antenna(word)
            .ok_or_else(|| Failure::input(format!("{word}: has no usual measures; write it into an outing file")))?;
        return Ok((vec![antenna], None));
    }
    let path = (!word.is_empty()).then(|| word.into());
    if path.as_ref().is_some_and(|p: &std::path::PathBuf| !p.exists()) {
        return Err(Failure::input(format!(
            "{word}: neither a file nor a kind of antenna; kinds are {}",
            AntennaKind::WORDS.join(", ")
        )));
    }
    let outing = load(&OutingArg { outing: path })?.outing;
    let ids: Vec<&str> = match (&args.antenna, args.compare.is_empty()) {
        (Some(id), _) => vec![id.as_str()],
        (None, false) => args.compare.iter().map(String::as_str).collect(),
        (None, true) => outing.kit.antennas.iter().map(|a| a.id.as_str()).collect(),
    };
    let known: Vec<&str> = outing.kit.antennas.iter().map(|a| a.id.as_str()).collect();
    let find = |id: &str| {
        outing
            .kit
            .antenna(id)
            .cloned()
            .ok_or_else(|| Failure::input(format!("{id}: no such antenna; this outing has {}", known.join(", "))))
    };
    let antennas = ids.into_iter().map(find).collect::<Result<Vec<_>, _>>()?;
    Ok((antennas, Some(outing)))
}

fn ground(args: &AntennaArgs, outing: Option<&Outing>) -> (String, GroundConstants) {
    if let Some(word) = args.ground {
        let class = ground_class(word);
        return (format!("{class:?} ground").to_lowercase(), class.constants());
    }
    match outing.and_then(|o| o.sites.first()) {
        Some(site) => (format!("the ground of {}", site.name), site.ground.constants()),
        None => ("average ground".into(), GroundClass::Average.constants()),
    }
}

fn ground_class(word: GroundArg) -> GroundClass {
    match word {
        GroundArg::Sea => GroundClass::Sea,
        GroundArg::FreshWater => GroundClass::FreshWater,
        GroundArg::Wet => GroundClass::Wet,
        GroundArg::Good => GroundClass::Good,
        GroundArg::Average => GroundClass::Average,
        GroundArg::Poor => GroundClass::Poor,
        GroundArg::VeryDry => GroundClass::VeryDry,
        GroundArg::City => GroundClass::City,
    }
}

/// The frequencies asked for; else one for each band of the outing's stations; else the usual ones.
fn frequencies(args: &AntennaArgs, outing: Option<&Outing>) -> Result<Vec<f64>, Failure> {
    if !args.mhz.is_empty() {
        return args
            .mhz
            .iter()
            .map(|f| input::within_limit("--mhz", *f, limits::FREQ_MHZ))
            .collect();
    }
    let Some(outing) = outing else {
        return Ok(USUAL_MHZ.to_vec());
    };
    let mut freqs: Vec<f64> = outing
        .stations
        .iter()
        .flat_map(|s| s.channels.iter().map(|c| c.freq_mhz))
        .collect();
    freqs.sort_by(f64::total_cmp);
    // Channels of one band are within a few per cent; the lowest stands for it.
    freqs.dedup_by(|a, b| (*a / *b - 1.0).abs() < 0.05);
    Ok(freqs)
}

fn view(antenna: &Antenna, ground: &(String, GroundConstants), freqs_mhz: &[f64], power_w: f64) -> AntennaView {
    let served: Vec<f64> = freqs_mhz.iter().copied().filter(|f| antenna.serves(*f)).collect();
    let solved: Vec<(f64, Result<SolvedAntenna, String>)> = served
        .par_iter()
        .map(|f| (*f, solve_antenna(antenna, ground.1, *f)))
        .collect();
    let failed = solved
        .iter()
        .filter_map(|(f, s)| s.as_ref().err().map(|why| format!("{f} MHz: {why}")))
        .collect();
    let mut notes =
        vec!["gains are power gains over this ground, all losses of wire, coils and ground in them".to_owned()];
    if served.len() < freqs_mhz.len() {
        notes.push("bands for which the outing does not mean it are left out".to_owned());
    }
    AntennaView {
        antenna: antenna.id.to_string(),
        name: antenna.name.clone(),
        kind: antenna.kind.word().to_owned(),
        place: ground.0.clone(),
        power_w,
        bands: solved
            .iter()
            .filter_map(|(f, s)| s.as_ref().ok().map(|s| band_view(s, *f, power_w)))
            .collect(),
        failed,
        notes,
    }
}

fn write_svg(file: &Path, antenna: &Antenna, ground: GroundConstants, freqs_mhz: &[f64]) -> Result<(), Failure> {
    let freq_mhz = freqs_mhz.iter().copied().find(|f| antenna.serves(*f)).unwrap_or(7.05);
    let built = built_at(antenna, ground, freq_mhz).map_err(Failure::input)?;
    let solved = solve_antenna(antenna, ground, freq_mhz).map_err(Failure::input)?;
    std::fs::write(file, drawing(&antenna.name, freq_mhz, &built, &solved))
        .map_err(|e| Failure::input(format!("--svg {}: {e}", file.display())))?;
    anstream::eprintln!("Drawn: {} on {freq_mhz} MHz in {}", antenna.name, file.display());
    Ok(())
}

fn wires(file: &Path, args: &AntennaArgs) -> Result<(), Failure> {
    let [freq_mhz] = *args.mhz.as_slice() else {
        return Err(Failure::input("--wires needs exactly one --mhz"));
    };
    let freq_mhz = input::within_limit("--mhz", freq_mhz, limits::FREQ_MHZ)?;
    let text = read_text(file).map_err(Failure::input)?;
    let list = wire_list::parse(&text).map_err(|e| Failure::input(format!("{}: {e}", file.display())))?;
    let view = wire_list::solve(&list, freq_mhz).map_err(|e| Failure::input(format!("{}: {e}", file.display())))?;
    if args.json {
        return print_json(&view);
    }
    anstream::println!(
        "{freq_mhz} MHz: {:.2} {:+.2}j ohm, {:.1} % radiated. --json gives the gains.",
        view.r_ohm,
        view.x_ohm,
        view.efficiency * 100.0
    );
    Ok(())
}
