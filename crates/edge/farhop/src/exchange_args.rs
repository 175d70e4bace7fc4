//! Options of the commands that write open formats and read them.

use std::path::PathBuf;

use clap::Args;

use crate::args::OutingArg;

/// `farhop export`.
#[derive(Debug, Args)]
pub struct ExportArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// The sends of each message and the deadlines as a calendar (iCalendar)
    #[arg(long, value_name = "FILE.ics")]
    pub calendar: Option<PathBuf>,
    /// Sites, stations and the paths that the plan uses, as GeoJSON
    #[arg(long, value_name = "FILE")]
    pub geojson: Option<PathBuf>,
    /// Sites and stations as waypoints, the paths that the plan uses as tracks (GPX)
    #[arg(long, value_name = "FILE")]
    pub gpx: Option<PathBuf>,
    /// All windows with what they do for each message, as a table
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// Every hour of every route with its budget, as a table
    #[arg(long, value_name = "FILE")]
    pub budgets: Option<PathBuf>,
    /// The plan as JSON, the same as `farhop plan --json`
    #[arg(long, value_name = "FILE")]
    pub json: Option<PathBuf>,
    /// With --json: every hour of every route too, many times as long
    #[arg(long, requires = "json")]
    pub full: bool,
    /// Maps with every path, also those on which the plan sends nothing
    #[arg(long)]
    pub all: bool,
    /// Replace files that exist
    #[arg(long)]
    pub replace: bool,
}

/// `farhop import`.
#[derive(Debug, Args)]
pub struct ImportArgs {
    /// A GPX file; its waypoints become sites
    #[arg(value_name = "FILE.gpx")]
    pub file: PathBuf,
    /// Add the sites to this outing; without it they are shown
    #[arg(long, alias = "outing", value_name = "OUTING.toml")]
    pub into: Option<PathBuf>,
}

/// `farhop conditions`.
#[derive(Debug, Args)]
pub struct ConditionsArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// A forecaster's text or JSON, saved or typed
    #[arg(long, value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// Ask this address for it, now and once
    #[arg(long, value_name = "URL", conflicts_with = "file")]
    pub fetch: Option<String>,
    /// Longest time to wait for an answer, seconds
    #[arg(long, value_name = "S", default_value_t = 20, value_parser = clap::value_parser!(u64).range(1..=300))]
    pub timeout: u64,
    /// Put the lines into the outing file
    #[arg(long)]
    pub write: bool,
    /// What was understood, as JSON
    #[arg(long)]
    pub json: bool,
}

/// `farhop bundle`.
#[derive(Debug, Args)]
pub struct BundleArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// The bundle to make
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Take this field card along instead of one on A4 that is made now
    #[arg(long, value_name = "FILE")]
    pub card: Option<PathBuf>,
    /// Replace a bundle that exists
    #[arg(long)]
    pub replace: bool,
    /// Open this bundle
    #[arg(long, value_name = "FILE", requires = "into", conflicts_with_all = ["outing", "named", "output", "card", "replace"])]
    pub open: Option<PathBuf>,
    /// The new or empty folder into which it is opened
    #[arg(long, value_name = "DIR", requires = "open")]
    pub into: Option<PathBuf>,
    /// Use the antenna solutions that came along: only from somebody you trust
    #[arg(long, requires = "open")]
    pub take_solutions: bool,
}
