//! The command line, in our own plain words.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use farhop_outing::{GroundClass, NoiseClass};

use crate::words::{ground_class, noise_class};

pub use crate::day_args::{DayArgs, DebriefArgs, FaultArgs, LogArgs, NextArgs, NowArgs};
pub use crate::exchange_args::{BundleArgs, ConditionsArgs, ExportArgs, ImportArgs};
pub use crate::new_args::NewArgs;

/// Short messages by HF radio from a hill, on five watts: when, where, how, and with what odds.
#[derive(Debug, Parser)]
#[command(name = "farhop", version, propagate_version = true)]
pub struct Cli {
    /// What to do; without it, what comes next.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What the program can do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// When and where a message will get through, with what odds, and why
    Plan(PlanArgs),
    /// One circuit in full detail, with 0 dBi at both ends
    Path(PathArgs),
    /// The layers above a place through the day
    Sky(SkyArgs),
    /// What a wire does where it is really hung: impedance, efficiency, gain by angle
    Antenna(AntennaArgs),
    /// Whether the tuner will match, what is lost on the way, what is radiated, and what to change
    Feed(FeedArgs),
    /// Whether the battery lasts, what each message costs, and when to stop sending
    Energy(EnergyArgs),
    /// The plan tried on drawn days: how often each message gets through, and how often the odds come true
    Days(DaysArgs),
    /// What the outing hangs on, which spare helps most, what can stay at home, and the packing list
    Kit(KitArgs),
    /// How far to keep from each antenna while sending, which parts burn, and what the rules say
    Exposure(ExposureArgs),
    /// What is kept between runs to save time, and a way to be rid of it
    Cache(CacheArgs),
    /// Find what is broken, one check at a time
    Fault(FaultArgs),
    /// What to try next, with odds and reasons, after all that was logged
    Next(NextArgs),
    /// How things stand: window, sun, charge, messages, last entries
    Now(NowArgs),
    /// What the day proved: forecast against outcome, what explains the misses, what to keep
    Debrief(DebriefArgs),
    /// Enter in the journal what was called, heard, measured or changed, or look at it
    Log(LogArgs),
    /// The plan in open formats: calendar, maps, tables, JSON
    Export(ExportArgs),
    /// Waypoints of a GPX file as sites of an outing
    Import(ImportArgs),
    /// What is known about the sky, from a forecaster's text, on file or fetched when you ask for it
    Conditions(ConditionsArgs),
    /// One file for a partner: outing, lists, journal, solutions; or open one
    Bundle(BundleArgs),
    /// Everything on screens: a page for this machine's browser, and for the phone with --share
    Serve(ServeArgs),
    /// All of it for a phone that has no computer and no network with it
    Pocket(PocketArgs),
    /// The field card: one sheet, two sides, to be read without any device
    Card(CardArgs),
    /// Every problem of an outing file at once
    Check(CheckArgs),
    /// Simulate the coded modulations on fading channels: the table behind the built-in ladders
    Channel(ChannelArgs),
    /// A new outing in a new folder: from eight answers, or a commented starter
    New(NewArgs),
    /// Man pages and completions for the shell, for whoever packs the program
    #[command(hide = true)]
    Pages(PagesArgs),
}

/// An outing file, or the embedded demo.
#[derive(Debug, Args)]
pub struct OutingArg {
    /// The outing file; otherwise that of FARHOP_OUTING, the only one of this folder, or the last one used here
    #[arg(value_name = "OUTING.toml")]
    pub outing: Option<PathBuf>,
    /// The same, named by an option
    #[arg(long = "outing", value_name = "OUTING.toml", conflicts_with = "outing")]
    pub named: Option<PathBuf>,
    /// The embedded demo, whatever lies in this folder
    #[arg(long, conflicts_with_all = ["outing", "named"])]
    pub demo: bool,
}

/// Units in text output.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsArg {
    /// Metres, kilometres, kilograms
    Metric,
    /// Feet, miles, pounds
    Imperial,
}

impl From<UnitsArg> for farhop_outing::Units {
    fn from(asked: UnitsArg) -> Self {
        match asked {
            UnitsArg::Metric => Self::Metric,
            UnitsArg::Imperial => Self::Imperial,
        }
    }
}

/// `farhop plan`.
#[derive(Debug, Args)]
pub struct PlanArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// The plan with its working, as JSON
    #[arg(long)]
    pub json: bool,
    /// With --json: every hour of every route too, many times as long
    #[arg(long, requires = "json")]
    pub full: bool,
    /// Eight lines for somebody who waits at home
    #[arg(long, conflicts_with = "json")]
    pub brief: bool,
    /// The hours in percent instead of shades
    #[arg(long, conflicts_with_all = ["json", "brief"])]
    pub percent: bool,
    /// Only this site
    #[arg(long, value_name = "ID")]
    pub site: Option<String>,
    /// Only this station
    #[arg(long, value_name = "ID")]
    pub station: Option<String>,
    /// Units of the text; the outing file decides otherwise
    #[arg(long, value_enum)]
    pub units: Option<UnitsArg>,
}

/// `farhop feed`.
#[derive(Debug, Args)]
pub struct FeedArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// Only this antenna, with its working
    #[arg(long, value_name = "ID")]
    pub antenna: Option<String>,
    /// Only this site
    #[arg(long, value_name = "ID")]
    pub site: Option<String>,
    /// Everything with its working, as JSON
    #[arg(long)]
    pub json: bool,
}

/// `farhop energy`.
#[derive(Debug, Args)]
pub struct EnergyArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// Everything with its working, as JSON
    #[arg(long)]
    pub json: bool,
    /// Draw the charge through the outing into this file
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    /// Replace the file of --svg if it is there already
    #[arg(long, requires = "svg")]
    pub replace: bool,
}

/// `farhop days`.
#[derive(Debug, Args)]
pub struct DaysArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// How many days are drawn, 100 to 10000
    #[arg(long, value_name = "N", default_value_t = 1000)]
    pub days: usize,
    /// Seed: the same seed gives the same days
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// Write the days as a table into this file, a row a day
    #[arg(long, value_name = "FILE.csv")]
    pub csv: Option<PathBuf>,
    /// Replace the file of --csv if it is there already
    #[arg(long, requires = "csv")]
    pub replace: bool,
    /// Everything with each day, as JSON
    #[arg(long)]
    pub json: bool,
}

/// `farhop cache`.
#[derive(Debug, Args)]
pub struct CacheArgs {
    /// Remove all that is kept; it is made again when it is needed
    #[arg(long)]
    pub clear: bool,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}

/// `farhop exposure`.
#[derive(Debug, Args)]
pub struct ExposureArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// Only this antenna
    #[arg(long, value_name = "ID")]
    pub antenna: Option<String>,
    /// Only this site
    #[arg(long, value_name = "ID")]
    pub site: Option<String>,
    /// Everything with its working, as JSON
    #[arg(long)]
    pub json: bool,
}

/// `farhop card`.
#[derive(Debug, Args)]
pub struct CardArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// Where it goes; card.pdf or card.html here otherwise, `-` is standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// On A5 instead of A4
    #[arg(long, conflicts_with = "letter")]
    pub a5: bool,
    /// On US Letter instead of A4
    #[arg(long)]
    pub letter: bool,
    /// A page that any browser prints, instead of PDF
    #[arg(long)]
    pub html: bool,
    /// Replace the file if it is there already
    #[arg(long)]
    pub replace: bool,
    /// Units of the card; the outing file decides otherwise
    #[arg(long, value_enum)]
    pub units: Option<UnitsArg>,
}

/// `farhop kit`.
#[derive(Debug, Args)]
pub struct KitArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// Most that spares may weigh together, kg; the outing file decides otherwise
    #[arg(long, value_name = "KG", allow_negative_numbers = true)]
    pub limit_kg: Option<f64>,
    /// Most room that spares may take, litres
    #[arg(long, value_name = "L", allow_negative_numbers = true)]
    pub limit_l: Option<f64>,
    /// Most that spares may cost, in the currency of the file
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub limit_price: Option<f64>,
    /// Everything with its working, as JSON
    #[arg(long)]
    pub json: bool,
}

/// Solar activity: at most one of the two.
#[derive(Debug, Args)]
#[group(multiple = false)]
pub struct ActivityArgs {
    /// Twelve-month smoothed sunspot number (R12)
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub ssn: Option<f64>,
    /// Solar flux at 10.7 cm, in solar flux units
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub flux: Option<f64>,
}

/// `farhop path`.
#[derive(Debug, Args)]
pub struct PathArgs {
    /// Where the transmitter is: `lat,lon` or a grid locator
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub from: String,
    /// Where the receiver is: `lat,lon` or a grid locator
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub to: String,
    /// Frequency, MHz
    #[arg(long, value_name = "F", allow_negative_numbers = true)]
    pub mhz: f64,
    /// When: 14:35 or 01:35Z on a day of the outing that is here (today without one), 2026-12-12T06:30Z, RFC 3339
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: String,
    /// Solar activity.
    #[command(flatten)]
    pub activity: ActivityArgs,
    /// Planetary K index, 0 to 9
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub k: Option<f64>,
    /// Transmitter power, W
    #[arg(long, value_name = "W", default_value_t = 5.0, allow_negative_numbers = true)]
    pub watts: f64,
    /// Man-made noise at the receiver
    #[arg(long, value_name = "CLASS", value_parser = noise_class(), default_value = NoiseClass::Rural.word())]
    pub noise: NoiseClass,
    /// Bandwidth in which the signal-to-noise ratio is given, Hz
    #[arg(long, value_name = "HZ", default_value_t = 500.0, allow_negative_numbers = true)]
    pub bandwidth_hz: f64,
    /// Critical frequency of the F2 layer measured at the middle of the path, MHz
    #[arg(long, value_name = "MHZ", allow_negative_numbers = true)]
    pub fof2: Option<f64>,
    /// Solar flare: its X-ray class and when it begins, as M5@01:20Z
    #[arg(long, value_name = "CLASS@TIME")]
    pub flare: Option<String>,
    /// Everything as JSON
    #[arg(long)]
    pub json: bool,
}

/// `farhop sky`.
#[derive(Debug, Args)]
pub struct SkyArgs {
    /// The place below: `lat,lon` or a grid locator
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub place: String,
    /// First hour: 14:35 or 01:35Z on a day of the outing that is here (today without one), 2026-12-12T06:30Z, RFC 3339
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: String,
    /// Solar activity.
    #[command(flatten)]
    pub activity: ActivityArgs,
    /// Number of hours
    #[arg(long, value_name = "H", default_value_t = 24)]
    pub hours: u16,
    /// Everything as JSON
    #[arg(long)]
    pub json: bool,
}

/// `farhop serve`.
#[derive(Debug, Args)]
pub struct ServeArgs {
    /// Which outing; a file that is not there yet can be begun in the browser.
    #[command(flatten)]
    pub outing: OutingArg,
    /// Port at which it answers; 0 takes any that is free
    #[arg(long, value_name = "N", default_value_t = 8047)]
    pub port: u16,
    /// Do not open the browser
    #[arg(long)]
    pub no_open: bool,
    /// Let other devices on the network in, by pass phrase
    #[arg(long)]
    pub share: bool,
}

/// `farhop pocket`.
#[derive(Debug, Args)]
pub struct PocketArgs {
    /// An outing that comes along, with its antennas solved: its first plan on the phone is soon there. Whoever finds the address reads it
    #[arg(value_name = "OUTING.toml")]
    pub outing: Option<PathBuf>,
    /// Folder for the files that a host gives out
    #[arg(short = 'o', long, value_name = "DIR", required_unless_present = "single")]
    pub output: Option<PathBuf>,
    /// One page that carries everything, for devices that only take files; it keeps nothing when it is closed
    #[arg(long, value_name = "FILE.html")]
    pub single: Option<PathBuf>,
    /// The engine, as crates/edge/pocket/build makes it; otherwise the one beside this program
    #[arg(long, value_name = "FILE")]
    pub engine: Option<PathBuf>,
    /// Replace files of an earlier edition
    #[arg(long)]
    pub replace: bool,
}

/// `farhop check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// Show every default in use, with its reason
    #[arg(long)]
    pub defaults: bool,
}

/// `farhop pages`.
#[derive(Debug, Args)]
pub struct PagesArgs {
    /// The folder into which they go; it is made where it is not there
    #[arg(value_name = "DIR")]
    pub folder: PathBuf,
    /// Replace files that exist
    #[arg(long)]
    pub replace: bool,
}

/// `farhop channel`.
#[derive(Debug, Args)]
pub struct ChannelArgs {
    /// Frames simulated at each signal-to-noise ratio
    #[arg(long, value_name = "N", default_value_t = 400)]
    pub frames: u32,
    /// Seed: the same seed gives the same table
    #[arg(long, value_name = "N", default_value_t = 5)]
    pub seed: u64,
    /// Only this mode: slow-500, narrow-500 or wide-2400
    #[arg(long, value_name = "NAME")]
    pub mode: Option<String>,
}

/// `farhop antenna`.
#[derive(Debug, Args)]
pub struct AntennaArgs {
    /// A kind of antenna with usual measures, or an outing file; otherwise the outing of this folder
    #[arg(value_name = "KIND|OUTING.toml")]
    pub what: Option<String>,
    /// The outing file, named by an option
    #[arg(long = "outing", value_name = "OUTING.toml", conflicts_with_all = ["what", "wires", "demo"])]
    pub named: Option<PathBuf>,
    /// The embedded demo, whatever lies in this folder
    #[arg(long, conflicts_with_all = ["what", "wires"])]
    pub demo: bool,
    /// The outing that was found where none was named.
    #[arg(skip)]
    pub found: Option<PathBuf>,
    /// Only this antenna of the outing
    #[arg(long, value_name = "ID")]
    pub antenna: Option<String>,
    /// Ground under it; the outing's first site decides otherwise
    #[arg(long, value_name = "CLASS", value_parser = ground_class())]
    pub ground: Option<GroundClass>,
    /// Frequencies, MHz
    #[arg(long, value_name = "F", num_args = 1.., value_delimiter = ',', allow_negative_numbers = true)]
    pub mhz: Vec<f64>,
    /// Rank these antennas of the outing on each band
    #[arg(long, value_name = "A,B,C", value_delimiter = ',')]
    pub compare: Vec<String>,
    /// For what to rank them: near-vertical or low angles
    #[arg(long = "for", requires = "compare", value_name = "AIM", value_enum, default_value_t = AimArg::Near)]
    pub aim: AimArg,
    /// A plain wire list to solve (docs/guide/wire-list.md)
    #[arg(long, value_name = "FILE.json", conflicts_with_all = ["what", "antenna", "ground", "compare", "svg"])]
    pub wires: Option<PathBuf>,
    /// Draw the first antenna on its first frequency into this file
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    /// Replace the file of --svg if it is there already
    #[arg(long, requires = "svg")]
    pub replace: bool,
    /// Everything as JSON
    #[arg(long)]
    pub json: bool,
}

/// For what antennas are ranked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum AimArg {
    /// Near-vertical, short paths
    Near,
    /// Low angles, long paths
    Far,
}
