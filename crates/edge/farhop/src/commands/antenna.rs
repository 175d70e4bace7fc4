//! `farhop antenna`: what a wire does, where it is really hung.

use std::path::Path;
use std::sync::Arc;

use farhop_antenna::solve::expected;
use farhop_earth::{GroundClass, GroundConstants};
use farhop_outing::{Antenna, AntennaKind, Outing, Units, limits, same_band};
use farhop_plan::PlanError;
use farhop_plan::engine::{SolvedAntenna, axis_bearing_deg, built_at, feed_ratio, solved_in, width_khz};
use farhop_show::antenna::compare::{Aim, ranking, ranking_text};
use farhop_show::antenna::drawing::{Picture, drawing};
use farhop_show::antenna::text::antenna_document;
use farhop_show::antenna::view::{AntennaView, BandFacts, band_view};
use farhop_show::antenna::wire_list;
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::read_text;
use rayon::prelude::*;

use crate::args::{AimArg, AntennaArgs, OutingArg};
use crate::commands::print_json;
use crate::exit::Failure;
use crate::files::{self, Own};
use crate::input;
use crate::outing::load;
use crate::typical;

/// Frequencies used where nothing says which, MHz: the amateur bands that field gateways use.
const USUAL_MHZ: [f64; 5] = [3.6, 5.36, 7.05, 10.14, 14.1];
/// Power into the antenna where no outing says how much, W.
const USUAL_POWER_W: f64 = 5.0;
/// SWR for which the width is given (dimensionless).
const WIDTH_SWR: f64 = 2.0;

/// Work that takes longer is announced, s.
const LONG_S: f64 = 2.0;

/// Frequencies at which a plain wire list is solved: wider than any band here, for comparison with textbooks.
const WIRE_LIST_MHZ: std::ops::RangeInclusive<f64> = 0.1..=1_000.0;

/// Runs the command.
pub fn run(args: &AntennaArgs) -> Result<(), Failure> {
    if let Some(file) = &args.wires {
        return wires(file, args);
    }
    let (antennas, outing) = chosen(args)?;
    let (place, ground) = ground(args, outing.as_ref());
    let bench = Bench {
        place,
        ground,
        freqs_mhz: frequencies(args, outing.as_ref())?,
        asked: !args.mhz.is_empty(),
        power_w: outing.as_ref().map_or(USUAL_POWER_W, |o| o.kit.transceiver.power_w),
        store: Solutions::of_user(),
        units: outing.as_ref().map_or(Units::Metric, |o| o.header.units),
    };
    let views: Vec<AntennaView> = antennas.par_iter().map(|a| bench.view(a)).collect();
    if views.iter().all(|v| v.bands.is_empty()) {
        let why: Vec<String> = views.into_iter().flat_map(|v| v.failed).collect();
        return Err(Failure::input(format!("nothing to show: {}", why.join("; "))));
    }
    if let (Some(file), Some(antenna)) = (&args.svg, antennas.first()) {
        bench.write_svg(file, antenna, args)?;
    }
    show(args, &views)
}

fn show(args: &AntennaArgs, views: &[AntennaView]) -> Result<(), Failure> {
    if args.compare.is_empty() {
        if args.json {
            return print_json(&views);
        }
        let texts: Vec<String> = views.iter().map(|v| antenna_document(v).text()).collect();
        crate::say::out!("{}", texts.join("\n"));
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
        crate::say::out!("{}", ranking_text(&ranks, aim));
        Ok(())
    }
}

/// The antennas asked for, and the outing they come from, if any.
fn chosen(args: &AntennaArgs) -> Result<(Vec<Antenna>, Option<Outing>), Failure> {
    let word = args.what.as_deref().unwrap_or_default();
    if AntennaKind::WORDS.contains(&word) {
        if args.antenna.is_some() {
            return Err(Failure::input(
                "--antenna picks one of an outing; a kind alone has only itself",
            ));
        }
        let kinds = std::iter::once(word).chain(args.compare.iter().map(String::as_str));
        return Ok((kinds.map(usual).collect::<Result<_, _>>()?, None));
    }
    let named_path: Option<std::path::PathBuf> = (!word.is_empty()).then(|| word.into());
    let path = named_path.or_else(|| args.found.clone());
    if path.as_ref().is_some_and(|p| !p.exists()) {
        return Err(Failure::input(format!(
            "{word}: neither a file nor a kind of antenna; kinds are {}",
            AntennaKind::WORDS.join(", ")
        )));
    }
    let outing = load(&OutingArg {
        outing: path,
        named: None,
        demo: args.demo,
    })?
    .outing;
    let hung = hung(&outing);
    let antennas = match (&args.antenna, args.compare.is_empty()) {
        (Some(id), _) => vec![named(&hung, id)?],
        // A kind may be compared with what is in the kit.
        (None, false) => args
            .compare
            .iter()
            .map(|word| named(&hung, word).or_else(|unknown| usual(word).map_err(|_| unknown)))
            .collect::<Result<_, _>>()?,
        (None, true) => hung,
    };
    Ok((antennas, Some(outing)))
}

/// The kit's antennas, each as it hangs at the first site where that says how.
fn hung(outing: &Outing) -> Vec<Antenna> {
    let there = |antenna: &Antenna| {
        let site = outing.sites.first()?;
        outing.antennas_at(site).find(|a| a.id == antenna.id).cloned()
    };
    let kit = outing.kit.antennas.iter();
    kit.map(|a| there(a).unwrap_or_else(|| a.clone())).collect()
}

fn named(antennas: &[Antenna], id: &str) -> Result<Antenna, Failure> {
    let known: Vec<&str> = antennas.iter().map(|a| a.id.as_str()).collect();
    antennas
        .iter()
        .find(|a| a.id.as_str() == id)
        .cloned()
        .ok_or_else(|| Failure::input(format!("{id}: no such antenna; this outing has {}", known.join(", "))))
}

fn usual(word: &str) -> Result<Antenna, Failure> {
    typical::antenna(word)
        .ok_or_else(|| Failure::input(format!("{word}: has no usual measures; write it into an outing file")))
}

fn ground(args: &AntennaArgs, outing: Option<&Outing>) -> (String, GroundConstants) {
    if let Some(class) = args.ground {
        return (class.name(), class.constants());
    }
    match outing.and_then(|o| o.sites.first()) {
        Some(site) => (format!("the ground of {}", site.name), site.ground.constants()),
        None => ("average ground".into(), GroundClass::Average.constants()),
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
    // The lowest channel stands for its band.
    freqs.dedup_by(|a, b| same_band(*a, *b));
    Ok(freqs)
}

/// Where and on what the antennas are looked at.
struct Bench {
    place: String,
    ground: GroundConstants,
    freqs_mhz: Vec<f64>,
    /// The frequencies were asked for by the user, so that none is left out.
    asked: bool,
    power_w: f64,
    store: Solutions,
    units: Units,
}

impl Bench {
    fn freqs_of(&self, antenna: &Antenna) -> Vec<f64> {
        let wanted = |f: &f64| self.asked || antenna.serves(*f);
        self.freqs_mhz.iter().copied().filter(wanted).collect()
    }

    fn solved(&self, antenna: &Antenna, freq_mhz: f64) -> Result<Arc<SolvedAntenna>, PlanError> {
        solved_in(&self.store, antenna, self.ground, freq_mhz)
    }

    fn view(&self, antenna: &Antenna) -> AntennaView {
        let freqs_mhz = self.freqs_of(antenna);
        let mut view = AntennaView {
            antenna: antenna.id.to_string(),
            name: antenna.name.clone(),
            kind: antenna.kind.word().to_owned(),
            place: self.place.clone(),
            azimuth_true_deg: axis_bearing_deg(antenna),
            feed_ratio: feed_ratio(antenna),
            power_w: self.power_w,
            bands: Vec::new(),
            failed: Vec::new(),
            notes: self.notes(antenna, &freqs_mhz),
        };
        if antenna.kind.is_declared() {
            let why = "the outing declares how it works, so that there is no wire to compute";
            view.failed.push(format!("{}: {why}", antenna.name));
            return view;
        }
        let bands: Vec<_> = freqs_mhz
            .par_iter()
            .map(|f| (*f, self.solved(antenna, *f), self.width_khz(antenna, *f)))
            .collect();
        for (freq_mhz, solved, width_swr2_khz) in bands {
            let facts = BandFacts {
                freq_mhz,
                power_w: self.power_w,
                feed_ratio: view.feed_ratio,
                width_swr2_khz,
            };
            match solved {
                Ok(solved) => view.bands.push(band_view(&solved, &facts)),
                Err(why) => view.failed.push(format!("{} on {freq_mhz} MHz: {why}", antenna.name)),
            }
        }
        view
    }

    fn width_khz(&self, antenna: &Antenna, freq_mhz: f64) -> Option<f64> {
        width_khz(antenna, self.ground, freq_mhz, WIDTH_SWR).ok()
    }

    fn notes(&self, antenna: &Antenna, freqs_mhz: &[f64]) -> Vec<String> {
        let mut notes = vec![
            "gains are power gains over this ground, with all losses of wire, coils and ground in them".to_owned(),
        ];
        if axis_bearing_deg(antenna).is_none() {
            notes.push(
                "no direction is stated: a plan uses the mean around the compass, this table the best bearing".into(),
            );
        }
        if freqs_mhz.len() < self.freqs_mhz.len() {
            notes.push("bands for which the outing does not mean it are left out".into());
        }
        notes
    }

    fn write_svg(&self, file: &Path, antenna: &Antenna, args: &AntennaArgs) -> Result<(), Failure> {
        let freq_mhz = self.freqs_of(antenna).first().copied().unwrap_or(USUAL_MHZ[2]);
        let built = built_at(antenna, self.ground, freq_mhz).map_err(Failure::input)?;
        let solved = self.solved(antenna, freq_mhz).map_err(Failure::input)?;
        let picture = Picture {
            before: None,
            name: &antenna.name,
            place: &self.place,
            freq_mhz,
            built: &built,
            solved: &solved,
            needed_deg: None,
            units: self.units,
        };
        let what = format!("Drawn: {} on {freq_mhz} MHz", antenna.name);
        let named = args.what.as_deref().map(Path::new).or(args.found.as_deref());
        let own = Own::of(named);
        files::output(file, drawing(&picture).as_bytes(), args.replace, &own, &what).map_err(|e| e.of_option("--svg"))
    }
}

fn wires(file: &Path, args: &AntennaArgs) -> Result<(), Failure> {
    let [freq_mhz] = *args.mhz.as_slice() else {
        return Err(Failure::input("--wires needs exactly one --mhz"));
    };
    if !WIRE_LIST_MHZ.contains(&freq_mhz) {
        let (low, high) = (WIRE_LIST_MHZ.start(), WIRE_LIST_MHZ.end());
        return Err(Failure::input(format!("--mhz {freq_mhz}: must be {low} to {high} MHz")));
    }
    let text = read_text(file).map_err(Failure::input)?;
    let said = |e: wire_list::WireListError| Failure::input(format!("{}: {e}", file.display()));
    let parsed = wire_list::parse(&text).map_err(said)?;
    let (unknowns, seconds) = expected(&parsed.list.antenna(), freq_mhz).map_err(|e| said(e.into()))?;
    if seconds > LONG_S {
        anstream::eprintln!("About {seconds:.0} s of work for {unknowns} unknowns; Ctrl-C stops it.");
    }
    let view = wire_list::solve(&parsed, freq_mhz).map_err(said)?;
    if args.json {
        return print_json(&view);
    }
    crate::say::out!("{}", wire_list::text(&view));
    Ok(())
}
