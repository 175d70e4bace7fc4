//! The hill through the day: what each route can do, hour by hour, as a function of the day's factors.

use farhop_earth::UtcTime;
use farhop_message::Ladder;
use farhop_outing::Outing;
use farhop_plan::belief::{Axes, Response};
use farhop_plan::delivery::usual_ladder;
use farhop_plan::engine::EngineBook;
use farhop_plan::feeding::KitFeed;
use farhop_plan::setting::Setting;
use farhop_plan::survey::{ResponseAsk, hours_of, respond_pair, stay};
use farhop_propagation::Circuit;
use rayon::prelude::*;

use crate::solutions::Solutions;

/// An outing seen from the hill.
pub struct Hill<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// Its sky.
    pub setting: Setting,
    /// The factors of its days.
    pub axes: Axes,
    store: &'a Solutions,
    ladders: Vec<Vec<Vec<Option<Ladder>>>>,
}

impl<'a> Hill<'a> {
    /// The hill of an outing.
    ///
    /// # Errors
    /// In words: the dates lie outside what can be forecast.
    pub fn new(outing: &'a Outing, store: &'a Solutions) -> Result<Self, String> {
        let setting = Setting::new(outing).map_err(|e| e.to_string())?;
        Ok(Self {
            ladders: ladders(outing, &setting),
            axes: Axes::of(outing),
            outing,
            setting,
            store,
        })
    }

    /// Where antenna solutions are kept.
    #[must_use]
    pub fn store(&self) -> &'a Solutions {
        self.store
    }

    /// From when to when somebody is at a site.
    #[must_use]
    pub fn stay(&self, site: usize) -> (UtcTime, UtcTime) {
        let none = (self.outing.header.start, self.outing.header.end);
        self.outing.sites.get(site).map_or(none, |s| stay(self.outing, s))
    }

    /// All routes from a site in the hours that touch a span.
    #[must_use]
    pub fn responses(&self, site: usize, from: UtcTime, until: UtcTime) -> Vec<Response> {
        self.responses_where(site, from, until, &|_| true)
    }

    /// As [`Self::responses`], only to the stations that are `wanted` (by index).
    #[must_use]
    pub fn responses_where(
        &self,
        site: usize,
        from: UtcTime,
        until: UtcTime,
        wanted: &(dyn Fn(usize) -> bool + Sync),
    ) -> Vec<Response> {
        // An hour touches the span when its middle lies within half an hour of it.
        let hours = hours_of(from.add_s(-1_799), until.add_s(1_800));
        let feed = KitFeed { kit: &self.outing.kit };
        let book = EngineBook::new(self.store, &feed);
        (0..self.outing.stations.len())
            .into_par_iter()
            .filter(|station| wanted(*station))
            .map(|station| {
                let ask = ResponseAsk {
                    axes: &self.axes,
                    hours: &hours,
                    wanted: &|_, _| true,
                };
                respond_pair(self.outing, &self.setting, &book, (site, station), &ask)
            })
            .flatten_iter()
            .collect()
    }

    /// The usual ladder of a route.
    pub fn ladder(&self) -> impl Fn(&Response) -> Option<Ladder> + '_ {
        move |response| {
            let route = response.route;
            self.ladders
                .get(route.site)?
                .get(route.station)?
                .get(route.channel)?
                .clone()
        }
    }
}

/// The first hour at which somebody can call from a site that is wanted; the start of the outing where there is none.
#[must_use]
pub fn first_hour(outing: &Outing) -> UtcTime {
    let wanted = outing.sites.iter().filter(|s| !s.fallback);
    wanted.map(|s| stay(outing, s).0).min().unwrap_or(outing.header.start)
}

/// By site, station and channel.
fn ladders(outing: &Outing, setting: &Setting) -> Vec<Vec<Vec<Option<Ladder>>>> {
    let of_pair = |site: &farhop_outing::Site, station: &farhop_outing::Station| {
        let circuit = Circuit::new(site.place, station.place);
        let lat_deg = setting.field.geomagnetic_lat_deg(circuit.arc.midpoint());
        let of_channel = |channel| usual_ladder(outing, channel, circuit.distance_km, lat_deg).ok();
        station.channels.iter().map(of_channel).collect()
    };
    let of_site = |site| outing.stations.iter().map(|station| of_pair(site, station)).collect();
    outing.sites.iter().map(of_site).collect()
}
