//! Options of `farhop new`.

use std::path::PathBuf;

use clap::Args;

/// `farhop new`.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// The folder to make
    #[arg(value_name = "DIR")]
    pub folder: PathBuf,
    /// Begin with the waypoints of this GPX file as sites
    #[arg(long, value_name = "FILE.gpx", conflicts_with_all = ["place", "from", "to", "time_zone", "region", "stations", "antenna", "watts", "battery_ah", "message"])]
    pub sites: Option<PathBuf>,
    /// Where you will operate: `lat,lon`, degrees with minutes, or a grid locator
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub place: Option<String>,
    /// First time, local: 2026-12-12 or 2026-12-12T08:00
    #[arg(long, value_name = "TIME")]
    pub from: Option<String>,
    /// Last time, local; a bare date is that whole day
    #[arg(long, value_name = "TIME")]
    pub to: Option<String>,
    /// Zone of these times, such as Pacific/Auckland; that of this machine otherwise
    #[arg(long, value_name = "ZONE")]
    pub time_zone: Option<String>,
    /// Whose band edges bind you: 1, 2 or 3 for a region of the ITU, or the name of a table such as united-kingdom
    #[arg(long, value_name = "REGION")]
    pub region: Option<String>,
    /// Table of the gateways that you may use
    #[arg(long, value_name = "FILE.csv")]
    pub stations: Option<PathBuf>,
    /// Kind of antenna, with its usual measures
    #[arg(long, value_name = "KIND")]
    pub antenna: Option<String>,
    /// Power of the transmitter, W
    #[arg(long, value_name = "W", allow_negative_numbers = true)]
    pub watts: Option<f64>,
    /// Capacity of the battery, Ah
    #[arg(long, value_name = "AH", allow_negative_numbers = true)]
    pub battery_ah: Option<f64>,
    /// The first message; its bytes are counted
    #[arg(long, value_name = "TEXT")]
    pub message: Option<String>,
}

impl NewArgs {
    /// Whether anything is said of the outing itself.
    pub fn says_something(&self) -> bool {
        let texts = [
            &self.place,
            &self.from,
            &self.to,
            &self.time_zone,
            &self.region,
            &self.antenna,
            &self.message,
        ];
        let numbers = [self.watts, self.battery_ah];
        texts.iter().any(|t| t.is_some()) || numbers.iter().any(Option::is_some) || self.stations.is_some()
    }
}
