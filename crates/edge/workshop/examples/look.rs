//! A look at a plan, for those who change the planner.
use farhop_workshop::{analysis::analyse, open::open, solutions::Solutions, watch::Unwatched};
fn main() {
    let path = std::env::args().nth(1).map(std::path::PathBuf::from);
    let o = open(path.as_deref()).unwrap().outing;
    let t = std::time::Instant::now();
    let p = analyse(&o, &Solutions::of_user(), &Unwatched).unwrap();
    println!("{:?}", t.elapsed());
    let t = std::time::Instant::now();
    let p2 = analyse(&o, &Solutions::of_user(), &Unwatched).unwrap();
    println!(
        "again {:?}, days {}, responses {}",
        t.elapsed(),
        p2.days.days.count,
        p.responses.len()
    );
    println!("bottom {:?}", p.bottom);
    for s in &p.stays {
        println!("stay {} {:?} {:?}", o.sites[s.site].id, s.from, s.until);
    }
    for s in &p.sends {
        println!(
            "{:?} {} {} {} ant {} {} air {:.1} needed {} alive {} :: {:?}",
            s.start,
            o.sites[s.route.site].id,
            o.stations[s.route.station].id,
            o.stations[s.route.station].channels[s.route.channel].freq_mhz,
            o.kit.antennas[s.route.antenna].id,
            s.mode,
            s.air_min,
            s.needed,
            s.alive,
            s.messages
                .iter()
                .map(|m| (
                    o.messages[m.message].id.to_string(),
                    m.chance.percent(),
                    m.so_far.percent()
                ))
                .collect::<Vec<_>>()
        );
    }
    for m in &p.messages {
        println!(
            "{} {} costs {:?} {:?}",
            o.messages[m.message].id,
            m.chance.chance,
            m.chance.costs.map(|c| (c * 1000.0).round() / 10.0),
            m.none_because
        );
        for ord in &m.orders {
            println!(
                "   at {}: {:?}",
                o.sites[ord.site].id,
                ord.entries
                    .iter()
                    .map(|e| (
                        o.stations[e.route.station].id.to_string(),
                        o.stations[e.route.station].channels[e.route.channel].freq_mhz,
                        e.chance.percent(),
                        e.so_far.percent()
                    ))
                    .collect::<Vec<_>>()
            );
        }
    }
    println!("elsewhere {:?}", p.elsewhere);
    println!("faults {:?}", p.days.days.axes.faults);
}
