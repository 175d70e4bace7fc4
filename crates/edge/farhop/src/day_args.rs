//! Arguments of the commands that belong to a day on the hill.

use std::path::PathBuf;

use clap::Args;

use crate::args::OutingArg;

/// `farhop fault`.
#[derive(Debug, Args)]
pub struct FaultArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// Begin a search: what you see, in words (may be given more than once)
    #[arg(long, value_name = "WORDS")]
    pub symptom: Vec<String>,
    /// Go on: `ok` or `bad` for the check that was asked, or the id of a part found bad (`PART=ok`: found in order)
    #[arg(long, value_name = "ok|bad|PART")]
    pub found: Vec<String>,
    /// The part in use where the kit leaves a choice: the antenna that hangs, a spare put in
    #[arg(long, value_name = "PART")]
    pub in_use: Vec<String>,
    /// Neither a meter nor a lamp at hand
    #[arg(long)]
    pub no_meter: bool,
    /// Take the last answer back
    #[arg(long)]
    pub undo: bool,
    /// Where the search is kept; beside the outing file otherwise
    #[arg(long, value_name = "FILE")]
    pub session: Option<PathBuf>,
    /// The state of the search as JSON
    #[arg(long)]
    pub json: bool,
}

/// A day with its journal.
#[derive(Debug, Args)]
pub struct DayArgs {
    /// Which outing.
    #[command(flatten)]
    pub outing: OutingArg,
    /// The journal; beside the outing file otherwise
    #[arg(long, value_name = "FILE")]
    pub journal: Option<PathBuf>,
    /// The instant that counts as now: 14:35, 01:35Z, 12 Dec 14:35, 2026-12-12T14:35, or RFC 3339
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
    /// Everything as JSON
    #[arg(long)]
    pub json: bool,
}

/// `farhop next`.
#[derive(Debug, Args)]
pub struct NextArgs {
    /// Which day.
    #[command(flatten)]
    pub day: DayArgs,
    /// Minutes that are left for calling
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub minutes: Option<f64>,
}

/// `farhop now`.
#[derive(Debug, Args)]
pub struct NowArgs {
    /// Which day.
    #[command(flatten)]
    pub day: DayArgs,
}

/// `farhop debrief`.
#[derive(Debug, Args)]
pub struct DebriefArgs {
    /// Which day.
    #[command(flatten)]
    pub day: DayArgs,
    /// Write the debrief as a page that stands alone
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
    /// Write what was learned into a file that the next outing can name under `[learned]`
    #[arg(long, value_name = "FILE")]
    pub keep: Option<PathBuf>,
    /// Write the calls without names as a table that can be shared: forecast and outcome
    #[arg(long, value_name = "FILE.csv")]
    pub export: Option<PathBuf>,
    /// Replace the files of --html, --keep and --export if they are there already
    #[arg(long)]
    pub replace: bool,
    /// Accept lessons by their number: they change `carried` of parts in the outing file
    #[arg(long, value_name = "N,N", value_delimiter = ',')]
    pub accept: Vec<usize>,
}

/// `farhop log`.
#[derive(Debug, Args)]
pub struct LogArgs {
    /// What happened, shortly: `call larch 3.59 no`, `noise 7 S4`, `volt 12.4` (`farhop log` alone shows all forms)
    #[arg(value_name = "FORM", allow_negative_numbers = true)]
    pub form: Vec<String>,
    /// The outing file; otherwise that of FARHOP_OUTING, the only one of this folder, or the last one used here
    #[arg(long, value_name = "OUTING.toml")]
    pub outing: Option<PathBuf>,
    /// The embedded demo, whatever lies in this folder; its journal is in the user's data folder
    #[arg(long, conflicts_with = "outing")]
    pub demo: bool,
    /// The journal; beside the outing file with the ending .journal otherwise
    #[arg(long, value_name = "FILE")]
    pub journal: Option<PathBuf>,
    /// When it happened: 14:35 (the last one), 01:35Z, -20m, 12 Dec 14:35, 2026-12-12T14:35, RFC 3339; now otherwise
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
    /// Who operates, when several do: callsign or initials
    #[arg(long, value_name = "NAME")]
    pub who: Option<String>,
    /// Take the last entry back that still counts
    #[arg(long, conflicts_with_all = ["form", "list", "export", "import", "adif"])]
    pub undo: bool,
    /// Show the entries that count, in the order of time
    #[arg(long, conflicts_with_all = ["form", "export", "import", "adif"])]
    pub list: bool,
    /// Write everything, corrections included, as JSON lines
    #[arg(long, value_name = "FILE.jsonl", conflicts_with_all = ["form", "import", "adif"])]
    pub export: Option<PathBuf>,
    /// Take over the entries of an export; those that are here already stay
    #[arg(long, value_name = "FILE.jsonl", conflicts_with_all = ["form", "adif"])]
    pub import: Option<PathBuf>,
    /// Write the contacts in the Amateur Data Interchange Format
    #[arg(long, value_name = "FILE.adi", conflicts_with = "form")]
    pub adif: Option<PathBuf>,
    /// Replace the file of --export or --adif if it is there already
    #[arg(long, conflicts_with = "form")]
    pub replace: bool,
    /// Make a sound journal from all that can be read of a damaged one; the damaged files are kept
    #[arg(long, conflicts_with_all = ["form", "undo", "list", "export", "import", "adif"])]
    pub rescue: bool,
    /// Put a journal that was kept for other dates or another outing aside, under a name with its date
    #[arg(long, conflicts_with_all = ["form", "undo", "list", "export", "import", "adif", "rescue"])]
    pub set_aside: bool,
    /// The answer as JSON; the words may then be one typed event as JSON, or a list (`-` reads it from standard input)
    #[arg(long)]
    pub json: bool,
}
