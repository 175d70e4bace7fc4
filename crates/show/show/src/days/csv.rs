//! Drawn days as a table of comma-separated values (RFC 4180), a row a day.

use crate::days::{DayView, DaysReport};

impl DaysReport<'_> {
    /// The table with its header. Units stand in the names; instants are in universal time; lists are joined by blanks.
    #[must_use]
    pub fn csv(&self) -> String {
        let rows = self.rows();
        let mut lines = vec![line(&self.header(rows.first()))];
        lines.extend(rows.iter().map(|row| line(&cells(row))));
        // RFC 4180: lines end with CR and LF.
        lines.iter().map(|l| format!("{l}\r\n")).collect()
    }

    fn header(&self, first: Option<&DayView>) -> Vec<String> {
        let own = |name: &str| name.to_owned();
        let mut all = vec![own("day"), own("weight"), own("own_db")];
        for (mhz, _) in first.map_or(&[][..], |r| &r.bands_db) {
            all.push(format!("band_{mhz}_mhz_db"));
        }
        for station in 0..self.outing.stations.len() {
            all.push(format!("station_{}_db", self.station_id(station)));
        }
        for station in 0..self.outing.stations.len() {
            all.push(format!("off_days_{}", self.station_id(station)));
        }
        let plain = [
            "fault",
            "fault_from",
            "fade_from",
            "fade_until",
            "fade_db",
            "power_rank",
            "fof2_mean_z",
            "absorption_mean_z",
            "calls",
        ];
        all.extend(plain.map(own));
        for message in &self.outing.messages {
            all.push(format!("through_at_{}", message.id));
        }
        for message in &self.outing.messages {
            all.push(format!("lost_to_{}", message.id));
        }
        all
    }
}

fn cells(row: &DayView) -> Vec<String> {
    let mut all = vec![row.day.to_string(), row.weight.to_string(), row.own_db.to_string()];
    all.extend(row.bands_db.iter().map(|(_, db)| db.to_string()));
    all.extend(row.stations_db.iter().map(f64::to_string));
    let joined = |days: &Vec<usize>| days.iter().map(usize::to_string).collect::<Vec<_>>().join(" ");
    all.extend(row.off_days.iter().map(joined));
    let fault = row.fault.as_ref();
    all.push(fault.map_or_else(String::new, |f| f.what.to_owned()));
    all.push(fault.map_or_else(String::new, |f| f.from.clone().unwrap_or_else(|| "start".to_owned())));
    let fade = row.fade.as_ref();
    all.push(fade.map_or_else(String::new, |f| f.from.clone()));
    all.push(fade.map_or_else(String::new, |f| f.until.clone()));
    all.push(fade.map_or_else(String::new, |f| f.loss_db.to_string()));
    all.extend([row.power_rank, row.fof2_mean_z, row.absorption_mean_z].map(|n| n.to_string()));
    all.push(row.calls.to_string());
    all.extend(row.through_at.iter().map(|at| at.clone().unwrap_or_default()));
    all.extend(row.lost_to.iter().map(|why| why.unwrap_or_default().to_owned()));
    all
}

/// A line without its end; what holds a comma, a quote or a line end is quoted.
fn line(cells: &[String]) -> String {
    let quoted = |cell: &String| {
        if cell.contains([',', '"', '\n', '\r']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell.clone()
        }
    };
    cells.iter().map(quoted).collect::<Vec<_>>().join(",")
}
