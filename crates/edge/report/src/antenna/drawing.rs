//! An antenna as a picture: the wires from the side and from above with their measures, and the pattern over ground.

use std::f64::consts::PI;
use std::fmt::Write as _;

use farhop_antenna::templates::Built;
use farhop_forecast::engine::SolvedAntenna;

/// Colour of everything drawn, and of what stands behind.
const INK: &str = "#1d2b33";
const SOFT: &str = "#b9c3c7";
const TINT: &str = "#2f6f7e";

/// Size of each of the four panels, user units.
const PANEL: f64 = 360.0;
/// Gain at the rim and at the centre of a pattern, dBi.
const RIM_DBI: f64 = 10.0;
const CENTRE_DBI: f64 = -20.0;

/// One drawing of one antenna on one frequency.
#[must_use]
pub fn drawing(name: &str, freq_mhz: f64, built: &Built, solved: &SolvedAntenna) -> String {
    let mut svg = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}" font-family="IBM Plex Sans, DejaVu Sans, sans-serif" font-size="13" fill="{INK}"><rect width="{w}" height="{h}" fill="#fbfaf6"/>"##,
        w = 2.0 * PANEL + 60.0,
        h = 2.0 * PANEL + 110.0
    );
    let _ = write!(
        svg,
        r##"<text x="30" y="34" font-size="19">{} on {freq_mhz} MHz: {:.0} % radiated, {:+.1} dBi straight up</text>"##,
        escaped(name),
        solved.efficiency * 100.0,
        solved.pattern.gain_dbi(90.0, 0.0)
    );
    wires(&mut svg, built, (30.0, 60.0), "From the side", |p| [p[0], p[2]], true);
    wires(
        &mut svg,
        built,
        (30.0 + PANEL, 60.0),
        "From above",
        |p| [p[0], p[1]],
        false,
    );
    elevation_cut(&mut svg, solved, (30.0, 80.0 + PANEL));
    azimuth_cut(&mut svg, solved, (30.0 + PANEL, 80.0 + PANEL));
    svg.push_str("</svg>\n");
    svg
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;")
}

/// Wires and supports of a view; `flat` picks the two coordinates, in metres, right and up.
fn wires(
    svg: &mut String,
    built: &Built,
    (x0, y0): (f64, f64),
    title: &str,
    flat: fn([f64; 3]) -> [f64; 2],
    side: bool,
) {
    let mut corners: Vec<[f64; 2]> = built
        .antenna
        .wires
        .iter()
        .flat_map(|w| [flat(w.p1_m), flat(w.p2_m)])
        .collect();
    if side {
        corners.push([corners[0][0], 0.0]);
    }
    let low = |axis: usize| corners.iter().map(|c| c[axis]).fold(f64::INFINITY, f64::min);
    let high = |axis: usize| corners.iter().map(|c| c[axis]).fold(f64::NEG_INFINITY, f64::max);
    let (left, right, down, up) = (low(0), high(0), low(1), high(1));
    let span = (right - left).max(up - down).max(0.5);
    let scale = (PANEL - 90.0) / span;
    let shift_x = x0 + 45.0 + 0.5 * (PANEL - 90.0 - scale * (right - left));
    let shift_y = y0 + PANEL
        - 55.0
        - if side {
            0.0
        } else {
            0.5 * (PANEL - 90.0 - scale * (up - down))
        };
    let at = |p: [f64; 2]| (shift_x + scale * (p[0] - left), shift_y - scale * (p[1] - down));
    let _ = write!(svg, r##"<text x="{}" y="{}">{title}</text>"##, x0 + 8.0, y0 + 20.0);
    if side {
        let (_, ground) = at([0.0, 0.0]);
        let _ = write!(
            svg,
            r##"<line x1="{}" y1="{ground:.1}" x2="{}" y2="{ground:.1}" stroke="{SOFT}" stroke-width="6"/>"##,
            x0 + 8.0,
            x0 + PANEL - 16.0
        );
        for support in &built.drawing.supports {
            let (x, top) = at(flat(support.top_m));
            let _ = write!(
                svg,
                r##"<line x1="{x:.1}" y1="{ground:.1}" x2="{x:.1}" y2="{top:.1}" stroke="{SOFT}" stroke-width="3"/>"##
            );
        }
    }
    for wire in &built.antenna.wires {
        let ((x1, y1), (x2, y2)) = (at(flat(wire.p1_m)), at(flat(wire.p2_m)));
        let _ = write!(
            svg,
            r##"<line x1="{x1:.1}" y1="{y1:.1}" x2="{x2:.1}" y2="{y2:.1}" stroke="{INK}" stroke-width="2.2" stroke-linecap="round"/>"##
        );
    }
    for source in &built.antenna.sources {
        let (x, y) = at(flat(built.antenna.wires[source.wire].point_m(source.position)));
        let _ = write!(svg, r##"<circle cx="{x:.1}" cy="{y:.1}" r="4.5" fill="{TINT}"/>"##);
    }
    for (index, measure) in built.drawing.dimensions.iter().enumerate() {
        let ((x1, y1), (x2, y2)) = (at(flat(measure.from_m)), at(flat(measure.to_m)));
        if (x1 - x2).hypot(y1 - y2) < 12.0 {
            continue;
        }
        let lift = if index % 2 == 0 { -7.0 } else { 16.0 };
        let _ = write!(
            svg,
            r##"<text x="{:.1}" y="{:.1}" font-size="12" text-anchor="middle" fill="{TINT}">{}</text>"##,
            0.5 * (x1 + x2),
            0.5 * (y1 + y2) + lift,
            escaped(&measure.label)
        );
    }
    let _ = write!(
        svg,
        r##"<text x="{}" y="{}" font-size="11">x runs along the antenna; {:.1} m across</text>"##,
        x0 + 8.0,
        y0 + PANEL - 18.0,
        span
    );
}

/// Radius of a gain on a pattern of radius 1: linear in dB.
fn radius(gain_dbi: f64) -> f64 {
    ((gain_dbi - CENTRE_DBI) / (RIM_DBI - CENTRE_DBI)).clamp(0.0, 1.0)
}

fn elevation_cut(svg: &mut String, solved: &SolvedAntenna, (x0, y0): (f64, f64)) {
    let (cx, cy, r) = (x0 + PANEL / 2.0, y0 + PANEL - 90.0, PANEL / 2.0 - 40.0);
    let _ = write!(
        svg,
        r##"<text x="{}" y="{}">Over the ground, along x</text>"##,
        x0 + 8.0,
        y0 + 20.0
    );
    for db in [-10.0, 0.0, RIM_DBI] {
        let ring = r * radius(db);
        let _ = write!(
            svg,
            r##"<path d="M {:.1} {cy:.1} A {ring:.1} {ring:.1} 0 0 1 {:.1} {cy:.1}" fill="none" stroke="{SOFT}"/><text x="{:.1}" y="{:.1}" font-size="10">{db:+.0}</text>"##,
            cx - ring,
            cx + ring,
            cx + 3.0,
            cy - ring - 2.0
        );
    }
    for angle in [30.0_f64, 60.0, 90.0, 120.0, 150.0] {
        let (s, c) = (angle * PI / 180.0).sin_cos();
        let _ = write!(
            svg,
            r##"<line x1="{cx:.1}" y1="{cy:.1}" x2="{:.1}" y2="{:.1}" stroke="{SOFT}"/>"##,
            cx + r * c,
            cy - r * s
        );
    }
    let points: Vec<String> = (1..180)
        .map(|angle| {
            let angle = f64::from(angle);
            let (elevation, azimuth) = if angle <= 90.0 {
                (angle, 0.0)
            } else {
                (180.0 - angle, 180.0)
            };
            let (s, c) = (angle * PI / 180.0).sin_cos();
            let length = r * radius(solved.pattern.gain_dbi(elevation, azimuth));
            format!("{:.1},{:.1}", cx + length * c, cy - length * s)
        })
        .collect();
    let _ = write!(
        svg,
        r##"<polygon points="{cx:.1},{cy:.1} {} {cx:.1},{cy:.1}" fill="{TINT}" fill-opacity="0.18" stroke="{TINT}" stroke-width="2.2"/><line x1="{:.1}" y1="{cy:.1}" x2="{:.1}" y2="{cy:.1}" stroke="{INK}"/><text x="{:.1}" y="{:.1}" font-size="11">rings in dBi; lines every 30°</text>"##,
        points.join(" "),
        cx - r,
        cx + r,
        x0 + 8.0,
        cy + 30.0
    );
}

fn azimuth_cut(svg: &mut String, solved: &SolvedAntenna, (x0, y0): (f64, f64)) {
    let (cx, cy, r) = (x0 + PANEL / 2.0, y0 + PANEL / 2.0 + 8.0, PANEL / 2.0 - 46.0);
    let _ = write!(
        svg,
        r##"<text x="{}" y="{}">Around, at 30° and 60° above the horizon</text>"##,
        x0 + 8.0,
        y0 + 20.0
    );
    for db in [-10.0, 0.0, RIM_DBI] {
        let ring = r * radius(db);
        let _ = write!(
            svg,
            r##"<circle cx="{cx:.1}" cy="{cy:.1}" r="{ring:.1}" fill="none" stroke="{SOFT}"/><text x="{:.1}" y="{:.1}" font-size="10">{db:+.0}</text>"##,
            cx + 3.0,
            cy - ring - 2.0
        );
    }
    for (elevation, width, dash) in [(30.0, 2.2, "none"), (60.0, 1.4, "6 4")] {
        let points: Vec<String> = (0..72)
            .map(|step| {
                let azimuth = f64::from(step) * 5.0;
                let (s, c) = (azimuth * PI / 180.0).sin_cos();
                let length = r * radius(solved.pattern.gain_dbi(elevation, azimuth));
                format!("{:.1},{:.1}", cx + length * c, cy - length * s)
            })
            .collect();
        let _ = write!(
            svg,
            r##"<polygon points="{}" fill="none" stroke="{TINT}" stroke-width="{width}" stroke-dasharray="{dash}"/>"##,
            points.join(" ")
        );
    }
    let _ = write!(
        svg,
        r##"<text x="{:.1}" y="{:.1}" font-size="11">x to the right; full line 30°, broken line 60°</text>"##,
        x0 + 8.0,
        y0 + PANEL - 8.0
    );
}
