//! `farhop feed`: what the tuner will say, what is lost, what is radiated.

use farhop_earth::GroundConstants;
use farhop_feed::advise::AdviceList;
use farhop_feed::{AntennaFeed, FeedChain, Robustness, tuning_steps};
use farhop_outing::{Antenna, Outing, Site, same_band};
use farhop_plan::PlanError;
use farhop_plan::engine::solved_in;
use farhop_plan::feeding::{FeedForecast, antenna_feed, chain_of, feed_advice, feed_of, feed_spread};
use farhop_show::feed::build::{BandFacts, band};
use farhop_show::feed::text::{answer, feed_document};
use farhop_show::feed::view::{FeedBandView, FeedGroupView, FeedView};
use farhop_show::feed::words;
use farhop_store::kept::solutions::Solutions;
use rayon::prelude::*;

use crate::args::FeedArgs;
use crate::commands::print_json;
use crate::exit::Failure;
use crate::outing::load;
use crate::progress::Progress;

/// Runs the command.
pub fn run(args: &FeedArgs) -> Result<(), Failure> {
    let outing = load(&args.outing)?.outing;
    let cases = cases(&outing, args)?;
    let store = Solutions::of_user();
    let progress = Progress::new("feeds", cases.len());
    let done: Vec<Result<Done, PlanError>> = cases
        .par_iter()
        .map(|case| {
            let done = case.work(&outing, &store);
            progress.step();
            done
        })
        .collect();
    progress.done();
    let view = view(&outing, &cases, &done)?;
    if args.json {
        return print_json(&view);
    }
    crate::say::out!("{}", feed_document(&view, args.antenna.is_some()).text());
    Ok(())
}

/// The channels of one band; the lowest stands for them.
struct Band {
    freq_mhz: f64,
    channels_mhz: Vec<f64>,
}

/// One antenna at one site on one band.
struct Case<'a> {
    site: &'a Site,
    antenna: &'a Antenna,
    band: Band,
}

/// What came of a case.
struct Done {
    forecast: FeedForecast,
    spread: Result<Robustness, PlanError>,
    advice: Option<AdviceList>,
    notes: Vec<String>,
}

impl Case<'_> {
    fn work(&self, outing: &Outing, store: &Solutions) -> Result<Done, PlanError> {
        let freq_mhz = self.band.freq_mhz;
        let ground = self.site.ground.constants();
        let solved = solved_in(store, self.antenna, ground, freq_mhz)?;
        let forecast = feed_of(&outing.kit, self.antenna, freq_mhz, &solved)?;
        let solve = |antenna: &Antenna, ground: GroundConstants| -> Result<AntennaFeed, PlanError> {
            solved_in(store, antenna, ground, freq_mhz).map(|s| antenna_feed(&s))
        };
        let chain = &forecast.chain;
        let spread = if forecast.coupled {
            Err(PlanError::TunedOnTheSpot)
        } else {
            feed_spread(chain, self.antenna, self.site.ground, freq_mhz, solve)
        };
        let advice = if forecast.answer.matched {
            None
        } else {
            Some(feed_advice(chain, self.antenna, ground, freq_mhz, solve)?)
        };
        Ok(Done {
            spread,
            advice,
            notes: solved.notes.clone(),
            forecast,
        })
    }

    fn view(&self, outing: &Outing, done: &Done) -> FeedBandView {
        band(&BandFacts {
            antenna: self.antenna,
            channels_mhz: &self.band.channels_mhz,
            forecast: &done.forecast,
            spread: done.spread.as_ref().map_err(ToString::to_string),
            advice: done.advice.as_ref(),
            notes: &done.notes,
            units: outing.header.units,
        })
    }
}

/// Every antenna at every site on every band for which it is meant; what is declared has no wire to compute.
fn cases<'a>(outing: &'a Outing, args: &FeedArgs) -> Result<Vec<Case<'a>>, Failure> {
    if let Some(id) = &args.site {
        known("--site", id, outing.sites.iter().map(|s| s.id.as_str()))?;
    }
    if let Some(id) = &args.antenna {
        known("--antenna", id, outing.kit.antennas.iter().map(|a| a.id.as_str()))?;
    }
    let wanted = |asked: &Option<String>, id: &str| asked.as_ref().is_none_or(|a| a == id);
    let mut cases = Vec::new();
    for site in outing.sites.iter().filter(|s| wanted(&args.site, s.id.as_str())) {
        let antennas = outing
            .antennas_at(site)
            .filter(|a| wanted(&args.antenna, a.id.as_str()));
        for antenna in antennas.filter(|a| !a.kind.is_declared()) {
            cases.extend(bands(outing, antenna).map(|band| Case { site, antenna, band }));
        }
    }
    if cases.is_empty() {
        return Err(Failure::input(
            "nothing to show: no such antenna at that site has wires and a channel that it is meant for",
        ));
    }
    Ok(cases)
}

fn known<'a>(option: &str, id: &str, all: impl Iterator<Item = &'a str>) -> Result<(), Failure> {
    let all: Vec<&str> = all.collect();
    if all.contains(&id) {
        return Ok(());
    }
    let list = all.join(", ");
    Err(Failure::input(format!(
        "{option} {id}: no such name; this outing has {list}"
    )))
}

/// The stations' channels that an antenna is meant for, by band, rising.
fn bands(outing: &Outing, antenna: &Antenna) -> impl Iterator<Item = Band> {
    let channels = outing.stations.iter().flat_map(|s| &s.channels);
    let mut freqs: Vec<f64> = channels.map(|c| c.freq_mhz).filter(|f| antenna.serves(*f)).collect();
    freqs.sort_by(f64::total_cmp);
    freqs.dedup();
    let mut bands: Vec<Band> = Vec::new();
    for freq_mhz in freqs {
        match bands.last_mut() {
            Some(band) if same_band(freq_mhz, band.freq_mhz) => band.channels_mhz.push(freq_mhz),
            _ => bands.push(Band {
                freq_mhz,
                channels_mhz: vec![freq_mhz],
            }),
        }
    }
    bands.into_iter()
}

fn view(outing: &Outing, cases: &[Case<'_>], done: &[Result<Done, PlanError>]) -> Result<FeedView, Failure> {
    let mut groups: Vec<FeedGroupView> = Vec::new();
    for (case, done) in cases.iter().zip(done) {
        let (site, antenna) = (case.site.id.to_string(), case.antenna.id.to_string());
        if groups.last().is_none_or(|g| (&g.site, &g.antenna) != (&site, &antenna)) {
            groups.push(group(outing, case));
        }
        let Some(group) = groups.last_mut() else { continue };
        match done {
            Ok(done) => group.bands.push(case.view(outing, done)),
            Err(why) => group.failed.push(format!("{:.2} MHz: {why}", case.band.freq_mhz)),
        }
    }
    let forecasts = || done.iter().flatten().map(|d| &d.forecast);
    let Some(example) = forecasts().find(|f| f.answer.matched).or_else(|| forecasts().next()) else {
        let why: Vec<String> = groups.into_iter().flat_map(|g| g.failed).collect();
        return Err(Failure::input(format!("nothing to show: {}", why.join("; "))));
    };
    Ok(FeedView {
        outing: outing.header.name.clone(),
        answer: answer(&groups),
        groups,
        tuning: tuning_steps(&example.chain, &example.answer)
            .iter()
            .filter_map(words::step)
            .collect(),
        basis: basis(&example.chain),
    })
}

fn group(outing: &Outing, case: &Case<'_>) -> FeedGroupView {
    let line = case
        .antenna
        .feedline
        .as_ref()
        .and_then(|id| outing.kit.feedline(id.as_str()));
    // Why there is no chain is told with every band.
    let way = chain_of(&outing.kit, case.antenna)
        .map_or_else(|_| String::new(), |chain| words::way(&chain, line, outing.header.units));
    FeedGroupView {
        site: case.site.id.to_string(),
        site_name: case.site.name.clone(),
        antenna: case.antenna.id.to_string(),
        antenna_name: case.antenna.name.clone(),
        way,
        bands: Vec::new(),
        failed: Vec::new(),
    }
}

fn basis(chain: &FeedChain) -> Vec<String> {
    let size = farhop_feed::VariationSize::FIELD;
    let mark = match chain.tuner {
        farhop_feed::Tuner::None => "without a tuner an SWR of 2 counts as a match".to_owned(),
        _ => "a match is what the outing says that its tuner is content with".to_owned(),
    };
    vec![
        format!(
            "A bit off means {:.0} % of height, {:.0} % of wire, one class of ground either way as 10 and 90 % points (own choice); the chance beside a match is that it still finds one then; {mark}.",
            size.height * 100.0,
            size.length * 100.0
        ),
        "A small loop is taken as tuned and coupled to 50 ohm on the spot, so that no chance is given for it.".into(),
        "Losses of lines, transformers and tuner parts are typical figures from memory unless the outing states them; cables differ by 10 % and more. A real tuner may stop at another state with more loss.".into(),
        "Burn cautions name what carries 50 V rms or more at full power; nothing below that is called safe either.".into(),
    ]
}
