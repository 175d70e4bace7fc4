//! Pages, their weight, and what a day on the hill costs the computer.

use std::path::Path;

use crate::speed::process::median;
use crate::speed::served::{Phone, Served};
use crate::speed::trip::{Size, Trip};

/// The pages, each as it opens.
const PAGES: [&str; 9] = [
    "/",
    "/hours",
    "/antennas",
    "/energy",
    "/kit",
    "/field",
    "/fault",
    "/debrief",
    "/edit",
];
/// A day on the hill: so often somebody looks at the field page, and so many entries are made (judgement: every five minutes for
/// ten hours, and one call in twenty minutes with a reading beside it).
const LOOKS: usize = 120;
const ENTRIES: usize = 60;
/// What a small laptop draws more while one core is busy, W (judgement; a meter at the own one tells better).
pub const BUSY_W: f64 = 10.0;

/// What of a page was measured.
pub struct PageCost {
    /// Its address.
    pub path: &'static str,
    /// The middle of some reads, s.
    pub s: f64,
    /// Bytes as sent, plain and compressed.
    pub bytes: (usize, usize),
}

/// What a day cost.
pub struct DayCost {
    /// Every page.
    pub pages: Vec<PageCost>,
    /// From the start of the server to the plan, antennas not kept: processor seconds.
    pub plan_cpu_s: Option<f64>,
    /// For all looks and entries of the day together, processor seconds.
    pub day_cpu_s: Option<f64>,
    /// How many looks and entries that were.
    pub counts: (usize, usize),
    /// Most memory of the server, MB.
    pub most_mb: Option<f64>,
}

impl DayCost {
    /// Energy of the whole day, Wh.
    #[must_use]
    pub fn wh(&self) -> Option<f64> {
        Some((self.plan_cpu_s? + self.day_cpu_s?) * BUSY_W / 3_600.0)
    }
}

/// Serves an outing for a day in fast motion.
///
/// # Errors
/// In words: the server does not start, or a phone is left alone.
pub fn field_day(program: &Path) -> Result<DayCost, String> {
    let trip = Trip::with_outing(program, "day", Size::DAY)?;
    let folder = trip.work();
    served_day(program, &folder).map_err(|e| e.to_string())
}

fn served_day(program: &Path, folder: &Path) -> std::io::Result<DayCost> {
    let served = Served::of(program, folder, "outing.toml", false, false)?;
    let mut phone = Phone::at(1, served.port);
    served.ready(&mut phone)?;
    let plan_cpu_s = served.cpu_s();
    let mut pages = Vec::new();
    for path in PAGES {
        let mut times = Vec::new();
        let mut bytes = (0, 0);
        for turn in 0..6 {
            phone.packed = turn % 2 == 1;
            let mut answer = phone.get(path)?;
            // Some lead on to what they show first.
            if let Some(to) = answer.header("location").map(str::to_owned) {
                answer = phone.get(&to)?;
            }
            times.push(answer.took_s);
            *if phone.packed { &mut bytes.1 } else { &mut bytes.0 } = answer.body.len();
        }
        pages.push(PageCost {
            path,
            s: median(times),
            bytes,
        });
    }
    let before = served.cpu_s();
    phone.packed = true;
    for look in 0..LOOKS {
        phone.get("/field")?;
        if look % (LOOKS / ENTRIES) == 0 {
            let entry = format!(r#"{{"key": "day-{look}", "words": "volt 12.{}"}}"#, look % 10);
            let answer = phone.post("/field/entry", "application/json", &entry)?;
            if answer.status != 200 {
                return Err(std::io::Error::other(format!(
                    "an entry was refused: {}",
                    answer.text()
                )));
            }
        }
    }
    Ok(DayCost {
        pages,
        plan_cpu_s,
        day_cpu_s: served.cpu_s().zip(before).map(|(after, before)| after - before),
        counts: (LOOKS, ENTRIES),
        most_mb: served.most_mb(),
    })
}
