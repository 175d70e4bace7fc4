//! A folder with an outing and a home of its own, in which the program is run as a user runs it.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::speed::process::{Cost, median, run};

/// How large an outing is.
#[derive(Clone, Copy, Debug)]
pub struct Size {
    /// Stations.
    pub stations: usize,
    /// Days.
    pub days: usize,
    /// Sites.
    pub sites: usize,
    /// Messages.
    pub messages: usize,
}

impl Size {
    /// A day with many stations and phones.
    pub const DAY: Self = Self {
        stations: 6,
        sites: 2,
        ..Self::BASE
    };

    /// From where the curves start.
    pub const BASE: Self = Self {
        stations: 4,
        days: 2,
        sites: 1,
        messages: 4,
    };
}

/// An outing of a size, invented: stations on a spiral around sites that lie close together.
#[must_use]
pub fn outing_text(size: Size) -> String {
    let mut text = format!(
        "[outing]\nname = \"Growth\"\nstart = 2026-12-01T07:00\nend = 2026-12-{:02}T19:00\ntime_zone = \"Pacific/Auckland\"\n\
         callsign = \"Q0GRO\"\nallocation = \"iaru-region-3\"\n\n",
        size.days.clamp(1, 31)
    );
    for site in 0..size.sites {
        text += &format!(
            "[[site]]\nid = \"site-{site}\"\nplace = \"{:.3},170.900\"\nelevation_m = 900\nground = \"average\"\nnoise = \"quiet-rural\"\n\n",
            -43.48 - 0.05 * site as f64
        );
    }
    for station in 0..size.stations {
        let turn = station as f64 * 2.4;
        let out_deg = 0.8 + 0.35 * station as f64;
        let letters: String = [station / 26, station % 26]
            .map(|n| char::from(b'A' + (n % 26) as u8))
            .iter()
            .collect();
        text += &format!(
            "[[station]]\nid = \"st-{station}\"\ncallsign = \"Q1A{letters}\"\nname = \"Station {station}\"\nplace = \"{:.3},{:.3}\"\n\
             noise = \"rural\"\npower_w = 100\nantenna = {{ kind = \"dipole\", height_m = 10 }}\n\
             channels = [{{ mhz = 3.59, bandwidth_hz = 500 }}, {{ mhz = 7.05, bandwidth_hz = 500 }}, {{ mhz = 10.14, bandwidth_hz = 500 }}]\n\n",
            (-43.5 + out_deg * turn.sin()).clamp(-80.0, 80.0),
            166.0 + out_deg * turn.cos()
        );
    }
    for message in 0..size.messages {
        text += &format!(
            "[[message]]\nid = \"m-{message}\"\nbytes = {}\npriority = \"normal\"\n\n",
            300 + 100 * message
        );
    }
    text += "[kit.transceiver]\npower_levels_w = [1, 5]\npower_w = 5\n\n[kit.modem]\nactive_w = 1.5\n\n\
             [[kit.antenna]]\nid = \"vee\"\nkind = \"inverted-v\"\nlength_m = 20\napex_height_m = 6\nend_height_m = 1.5\n\
             feedline = \"coax\"\n\n[[kit.feedline]]\nid = \"coax\"\nline = \"rg-58\"\nlength_m = 10\n\n\
             [kit.tuner]\nkind = \"automatic\"\n\n[[kit.battery]]\nid = \"battery\"\nchemistry = \"lifepo4\"\ncapacity_ah = 12\n";
    text
}

/// The folder; it is gone when it is dropped.
pub struct Trip {
    folder: PathBuf,
    program: PathBuf,
}

impl Trip {
    /// A new folder for a program.
    ///
    /// # Errors
    /// The folder cannot be made.
    pub fn new(program: &Path, name: &str) -> std::io::Result<Self> {
        let folder = std::env::temp_dir().join(format!("farhop-speed-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(folder.join("work"))?;
        Ok(Self {
            folder,
            program: program.to_owned(),
        })
    }

    /// A new folder with an outing of a size, `outing.toml`.
    ///
    /// # Errors
    /// In words: the folder or the file cannot be made.
    pub fn with_outing(program: &Path, name: &str, size: Size) -> Result<Self, String> {
        let trip = Self::new(program, name).map_err(|e| e.to_string())?;
        trip.outing(size)?;
        Ok(trip)
    }

    /// Writes the outing anew, of another size.
    ///
    /// # Errors
    /// In words: the file cannot be written.
    pub fn outing(&self, size: Size) -> Result<(), String> {
        std::fs::write(self.work().join("outing.toml"), outing_text(size)).map_err(|e| e.to_string())
    }

    /// The working folder.
    #[must_use]
    pub fn work(&self) -> PathBuf {
        self.folder.join("work")
    }

    /// The program in this folder with this home.
    #[must_use]
    pub fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(&self.program);
        command.args(words).current_dir(self.work());
        command
            .env("XDG_DATA_HOME", self.folder.join("data"))
            .env("XDG_CACHE_HOME", self.folder.join("cache"))
            .env_remove("FARHOP_OUTING");
        command
    }

    /// Forgets what is kept between runs.
    pub fn forget(&self) {
        let _ = std::fs::remove_dir_all(self.folder.join("cache"));
    }

    /// The middle of some runs.
    ///
    /// # Errors
    /// In words: it cannot be run, or refuses.
    pub fn warm(&self, words: &[&str], runs: usize) -> Result<Cost, String> {
        let costs: Vec<Cost> = (0..runs)
            .map(|_| run(&mut self.command(words)).map_err(|e| e.to_string()))
            .collect::<Result<_, _>>()?;
        let middle = |of: &dyn Fn(&Cost) -> Option<f64>| {
            let some: Vec<f64> = costs.iter().filter_map(of).collect();
            (!some.is_empty()).then(|| median(some))
        };
        Ok(Cost {
            wall_s: median(costs.iter().map(|c| c.wall_s).collect()),
            cpu_s: middle(&|c| c.cpu_s),
            most_mb: middle(&|c| c.most_mb),
        })
    }

    /// One run with nothing kept from before.
    ///
    /// # Errors
    /// As [`Trip::warm`].
    pub fn cold(&self, words: &[&str]) -> Result<Cost, String> {
        self.forget();
        run(&mut self.command(words)).map_err(|e| e.to_string())
    }
}

impl Drop for Trip {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}
