//! The own station while the day is gone through: readings, tasks, faults.

use farhop_earth::Place;

use super::{Fold, Mark};
use crate::event::Event;
use crate::hang::{Begun, Task};
use crate::reading::Fof2;
use crate::seen::{Fault, newest};
use crate::state::TaskBegun;
use crate::trouble::FaultMended;

impl Fold<'_> {
    /// Readings: the newest of each kind and band.
    pub(super) fn read(&mut self, event: &Event, mark: Mark) {
        let readings = &mut self.state.readings;
        match event {
            Event::Swr(swr) => newest(&mut readings.swr, mark.noted(swr.clone()), |s| s.freq_mhz),
            Event::Noise(noise) => newest(&mut readings.noise, mark.noted(noise.clone()), |n| n.freq_mhz),
            Event::TunerRefused(refused) => {
                newest(&mut readings.tuner_refused, mark.noted(refused.clone()), |r| r.freq_mhz);
            }
            Event::BandDead(dead) => newest(&mut readings.dead_bands, mark.noted(dead.freq_mhz), |f| *f),
            Event::PowerOut(power) => {
                if let (Some(freq_mhz), Some(swr)) = (power.freq_mhz, power.swr) {
                    let swr = crate::reading::Swr {
                        freq_mhz,
                        antenna: power.antenna.clone(),
                        swr,
                    };
                    newest(&mut readings.swr, mark.noted(swr), |s| s.freq_mhz);
                }
                readings.power_out = Some(mark.noted(power.clone()));
            }
            Event::Voltage(voltage) => readings.voltage = Some(mark.noted(voltage.clone())),
            Event::PanelCurrent(current) => readings.panel = Some(mark.noted(current.clone())),
            Event::Weather(weather) => {
                if let Some(temperature_c) = weather.temperature_c {
                    readings.temperature_c = Some(mark.noted(temperature_c));
                }
            }
            Event::Fof2(heard) => self.ionosonde(heard, mark),
            Event::Conditions(heard) => {
                self.heard.flux_sfu = heard.flux_sfu.or(self.heard.flux_sfu);
                self.heard.a_index = heard.a_index.or(self.heard.a_index);
                self.heard.k_index = heard.k_index.or(self.heard.k_index);
                readings.conditions = Some(mark.noted(self.heard.clone()));
            }
            _ => {}
        }
    }

    /// foF2 stands in the outing's conditions, there or where one is.
    fn ionosonde(&mut self, heard: &Fof2, mark: Mark) {
        self.state.readings.fof2 = Some(mark.noted(heard.clone()));
        let own = heard.lat_deg.zip(heard.lon_deg);
        let own = own.and_then(|(lat, lon)| Place::new(lat, lon).ok());
        let here = mark.site.and_then(|s| self.planned.sites.get(s)).map(|s| s.place);
        if let Some(place) = own.or(here) {
            self.ionosondes.push(farhop_outing::ObservedFof2 {
                fof2_mhz: heard.fof2_mhz,
                at: mark.at,
                place,
            });
        }
    }

    pub(super) fn begun(&mut self, begun: &Begun, mark: Mark) {
        let usual_min = match &begun.task {
            Task::Hang { antenna } => self.planned.kit.antenna(antenna).map(|a| a.setup_min),
            Task::Walk { site } => {
                let from = mark.site.and_then(|s| self.planned.sites.get(s));
                from.zip(self.planned.site(site))
                    .map(|(from, to)| 60.0 * from.walk_h(to))
            }
            Task::Check { .. } => None,
        };
        let minutes = begun.minutes.or(usual_min);
        self.state.task = Some(TaskBegun {
            task: begun.task.clone(),
            since: mark.at,
            end: minutes.map(|m| mark.at.add_s((60.0 * m).round() as i64)),
            entry: mark.number,
        });
    }

    pub(super) fn end_check(&mut self) {
        let check = |task: &TaskBegun| matches!(task.task, Task::Check { .. });
        if self.state.task.as_ref().is_some_and(check) {
            self.state.task = None;
        }
    }

    pub(super) fn mended(&mut self, mended: &FaultMended, mark: Mark) {
        self.end_check();
        let open = self.state.faults.iter_mut().filter(|f| f.mended.is_none());
        let meant = |fault: &Fault| {
            let class = mended.class.is_none_or(|c| c == fault.class);
            let what = mended.what.is_empty() || fault.what.eq_ignore_ascii_case(&mended.what);
            class && what
        };
        let mut open: Vec<&mut Fault> = open.collect();
        // Of one open fault there is no doubt which is meant, whatever words are used for it.
        let only = open.len() == 1;
        for fault in open
            .iter_mut()
            .filter(|f| meant(f) || (only && mended.class.is_none_or(|c| c == f.class)))
        {
            fault.mended = Some(mark.noted(()));
        }
    }
}
