//! Made-up outings, written as files so that they go through the same reader as everybody's.

use farhop_outing::Outing;
use farhop_outing_file::read;

/// A message: id, bytes, ready, deadline (local times; none means start or end), priority.
pub type MadeUpMessage = (String, u64, Option<String>, Option<String>, String);

/// What differs between made-up outings. Places and stations are invented.
#[derive(Clone, Debug)]
pub struct MadeUp {
    /// Start, local time.
    pub start: String,
    /// End, local time.
    pub end: String,
    /// Transmitter power, W.
    pub power_w: f64,
    /// K index.
    pub k_index: f64,
    /// Solar flux, solar flux units.
    pub flux_sfu: f64,
    /// Noise at the site, in the words of the file.
    pub noise: String,
    /// Stations: latitude, longitude, chance off, chance busy.
    pub stations: Vec<(f64, f64, f64, f64)>,
    /// Messages.
    pub messages: Vec<MadeUpMessage>,
    /// Batteries of this many Ah, each four cells of lithium iron phosphate.
    pub batteries_ah: Vec<f64>,
    /// Hours a day that the set is on and listening besides calls.
    pub listen_h_per_day: f64,
    /// Efficiency of the antenna (dimensionless): declared, so that nothing has to be solved.
    pub efficiency: f64,
}

impl Default for MadeUp {
    fn default() -> Self {
        Self {
            start: "2027-05-14T08:00".to_owned(),
            end: "2027-05-15T18:00".to_owned(),
            power_w: 5.0,
            k_index: 2.0,
            flux_sfu: 120.0,
            noise: "quiet-rural".to_owned(),
            stations: vec![(47.8, 10.2, 0.1, 0.15), (45.1, 13.6, 0.1, 0.15), (51.3, 9.1, 0.1, 0.15)],
            messages: vec![
                (
                    "first".to_owned(),
                    300,
                    None,
                    Some("2027-05-14T20:00".to_owned()),
                    "high".to_owned(),
                ),
                ("second".to_owned(), 1_500, None, None, "normal".to_owned()),
            ],
            batteries_ah: vec![8.0],
            listen_h_per_day: 0.0,
            efficiency: 0.5,
        }
    }
}

impl MadeUp {
    /// The text of the file.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = format!(
            "[outing]\nname = \"Made up\"\nstart = {}\nend = {}\ntime_zone = \"Etc/GMT-1\"\ncallsign = \"Q1TRY\"\n\
             [[site]]\nid = \"hill\"\nname = \"Hill\"\nplace = [47.0, 11.4]\nelevation_m = 1500\nnoise = \"{}\"\n",
            self.start, self.end, self.noise
        );
        for (index, (lat_deg, lon_deg, off, busy)) in self.stations.iter().enumerate() {
            text += &format!(
                "[[station]]\nid = \"s{index}\"\ncallsign = \"Q{}STA\"\nplace = [{lat_deg}, {lon_deg}]\nnoise = \"rural\"\noff_chance = {off}\n\
                 busy_chance = {busy}\nscan_count = 1\nchannels = [{{ mhz = {} }}, {{ mhz = {} }}, {{ mhz = {} }}]\n",
                index % 10,
                3.59 + 0.002 * index as f64,
                7.045 + 0.002 * index as f64,
                10.14 + 0.001 * index as f64,
            );
        }
        for (id, bytes, ready, deadline, priority) in &self.messages {
            text += &format!("[[message]]\nid = \"{id}\"\nbytes = {bytes}\npriority = \"{priority}\"\n");
            for (key, value) in [("ready", ready), ("deadline", deadline)] {
                if let Some(value) = value {
                    text += &format!("{key} = {value}\n");
                }
            }
        }
        text += &format!(
            "[kit.transceiver]\npower_levels_w = [{p}]\npower_w = {p}\nreceive_w = 1.0\nlisten_h_per_day = {}\ntransmit_draw_w = [{}]\nsource = \"b0\"\n\
             [[kit.antenna]]\nid = \"wire\"\nname = \"Wire\"\nkind = \"declared\"\nshape = \"dipole\"\nefficiency = {}\nheight_m = 8\n\
             setup_min = 10\n[kit.modem]\nmodes = [\"narrow\", \"slow\"]\nsource = \"b0\"\n",
            self.listen_h_per_day,
            3.0 * self.power_w,
            self.efficiency,
            p = self.power_w,
        );
        for (index, ah) in self.batteries_ah.iter().enumerate() {
            text += &format!(
                "[[kit.battery]]\nid = \"b{index}\"\nchemistry = \"lifepo4\"\ncells = 4\ncapacity_ah = {ah}\n"
            );
        }
        text += &format!(
            "[conditions]\nk = {}\nflux_sfu = {}\noccupancy = \"free\"\n",
            self.k_index, self.flux_sfu
        );
        text
    }

    /// The outing.
    ///
    /// # Panics
    /// With what the reader says, when the file is not sound.
    #[must_use]
    pub fn outing(&self) -> Outing {
        let reading = read(&self.text(), "made-up", &|name| Err(format!("no such file: {name}")));
        reading
            .outing
            .unwrap_or_else(|| panic!("{:?}\n{}", reading.problems, self.text()))
    }
}
