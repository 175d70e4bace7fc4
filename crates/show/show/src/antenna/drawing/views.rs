//! The wires from the side and from above, at one scale.

use farhop_antenna::templates::{Built, Dimension};
use farhop_earth::units::Units;
use farhop_num::maths;

use crate::antenna::drawing::COLUMN;
use crate::antenna::drawing::compass::compass;
use crate::antenna::drawing::labels::Labels;
use crate::sheet::{Anchor, Fill, INK, Letters, MUTED, PAPER, Pen, SOFT, Sheet, Spot, TINT};

/// Space for measures around the wires.
const AROUND: f64 = 52.0;
/// Height of the title above a view.
const TITLE: f64 = 22.0;
/// Least and largest height of the wires on paper.
const HEIGHTS: (f64, f64) = (60.0, 290.0);
/// The most by which a measure can be made larger than it stands in the file (dimensionless).
pub const MOST_GROWN: f64 = 1.6;
/// Least span that is drawn, metres.
const LEAST_SPAN_M: f64 = 0.5;

/// A box of metres: left, right, down, up.
#[derive(Clone, Copy)]
struct Extent {
    left: f64,
    right: f64,
    down: f64,
    up: f64,
}

impl Extent {
    fn of(points: impl Iterator<Item = [f64; 2]>) -> Self {
        let nothing = Self {
            left: f64::INFINITY,
            right: f64::NEG_INFINITY,
            down: f64::INFINITY,
            up: f64::NEG_INFINITY,
        };
        points.fold(nothing, |e, [x, y]| Self {
            left: e.left.min(x),
            right: e.right.max(x),
            down: e.down.min(y),
            up: e.up.max(y),
        })
    }
}

/// What is seen: an antenna as it hangs, and where measures are tried, as it hung before.
#[derive(Clone, Copy)]
pub(super) struct Seen<'a> {
    pub built: &'a Built,
    pub before: Option<&'a Built>,
    pub azimuth_deg: Option<f64>,
    pub units: Units,
}

/// Both views of one antenna.
pub(super) struct Views<'a> {
    built: &'a Built,
    before: Option<&'a Built>,
    azimuth_deg: Option<f64>,
    side: Extent,
    above: Extent,
    /// User units for a metre.
    scale: f64,
    /// The height for which there is room, metres.
    high_m: f64,
    units: Units,
}

impl<'a> Views<'a> {
    pub(super) fn new(seen: Seen<'a>) -> Self {
        let Seen {
            built,
            before,
            azimuth_deg,
            units,
        } = seen;
        let wires = || {
            built
                .antenna
                .wires
                .iter()
                .chain(before.iter().flat_map(|b| &b.antenna.wires))
        };
        let ends = || wires().flat_map(|w| [w.p1_m, w.p2_m]);
        let feet = ends().map(|p| [p[0], 0.0]);
        let side = Extent::of(ends().map(seen_from_side).chain(feet));
        let above = Extent::of(ends().map(|p| seen_from_above(p, azimuth_deg)));
        // The scale stays while a measure moves: room for the longest and highest that can be asked for.
        let (of, room) = before.map_or((built, 1.0), |before| (before, MOST_GROWN));
        let own = || of.antenna.wires.iter().flat_map(|w| [w.p1_m, w.p2_m]);
        let own_feet = own().map(|p| [p[0], 0.0]);
        let whole = [
            Extent::of(own().map(seen_from_side).chain(own_feet)),
            Extent::of(own().map(|p| seen_from_above(p, azimuth_deg))),
        ];
        // Nor may it change while the direction does: then there is room for every direction.
        let turning_m = before.and(azimuth_deg).map_or(LEAST_SPAN_M, |_| {
            let flat = Extent::of(own().map(|p| seen_from_above(p, None)));
            maths::hypot(flat.right - flat.left, flat.up - flat.down)
        });
        let most = |length: fn(&Extent) -> f64| room * whole.iter().map(length).fold(LEAST_SPAN_M, f64::max);
        let wide_m = most(|e| e.right - e.left).max(room * turning_m);
        // A longer wire that is turned takes from the margin.
        let high_m = most(|e| e.up - e.down).max(turning_m);
        let scale = ((COLUMN - 2.0 * AROUND) / wide_m).min(HEIGHTS.1 / high_m);
        Self {
            built,
            before,
            azimuth_deg,
            units,
            side,
            above,
            scale,
            high_m,
        }
    }

    /// Radius of the circle on which the direction is set; none where nothing is tried, or no direction is stated.
    fn compass_radius(&self) -> Option<f64> {
        self.before.and(self.azimuth_deg)?;
        let wide = self.scale * (self.above.right - self.above.left);
        let high = self.scale * (self.above.up - self.above.down);
        Some((0.5 * maths::hypot(wide, high) + 26.0).min(0.5 * self.wires_height() + AROUND - 14.0))
    }

    fn wires_height(&self) -> f64 {
        (self.scale * self.high_m).max(HEIGHTS.0)
    }

    /// Height of a view with title, measures and foot.
    pub(super) fn height(&self) -> f64 {
        TITLE + self.wires_height() + 2.0 * AROUND + 28.0
    }

    pub(super) fn draw(&self, sheet: &mut Sheet, side: (f64, f64), above: (f64, f64)) {
        self.draw_side(sheet, Spot { x: side.0, y: side.1 });
        self.draw_above(sheet, Spot { x: above.0, y: above.1 });
    }

    /// From metres to paper; the box stands on `floor` and is centred in the column.
    fn placed(&self, extent: Extent, left: f64, floor: f64) -> impl Fn([f64; 2]) -> Spot {
        let scale = self.scale;
        let shift = left + 0.5 * (COLUMN - scale * (extent.right - extent.left));
        move |[x, y]| Spot {
            x: shift + scale * (x - extent.left),
            y: floor - scale * (y - extent.down),
        }
    }

    /// From the side alone.
    pub(super) fn draw_side(&self, sheet: &mut Sheet, top: Spot) {
        sheet.text(top.by(0.0, TITLE - 6.0), Letters::plain(14.0), "From the side");
        let floor = top.y + TITLE + AROUND + self.wires_height();
        let place = self.placed(self.side, top.x, floor);
        let at = |p: [f64; 3]| place(seen_from_side(p));
        let (from, to) = (
            Spot { x: top.x, y: floor },
            Spot {
                x: top.x + COLUMN,
                y: floor,
            },
        );
        sheet.line(from.by(4.0, 4.0), to.by(-4.0, 4.0), SOFT, 7.0);
        for support in &self.built.drawing.supports {
            let [x, y, _] = support.top_m;
            sheet.line(at([x, y, 0.0]), at(support.top_m), SOFT, 3.0);
        }
        self.draw_wires(sheet, &at);
        let mut labels = Labels::default();
        for measure in &self.built.drawing.dimensions {
            self.measure(sheet, &mut labels, measure, &at);
        }
        sheet.text(from.by(0.0, AROUND + 8.0), Letters::plain(13.0), self.legend());
    }

    /// From above alone.
    pub(super) fn draw_above(&self, sheet: &mut Sheet, top: Spot) {
        sheet.text(top.by(0.0, TITLE - 6.0), Letters::plain(14.0), "From above");
        let azimuth_deg = self.azimuth_deg;
        let floor =
            top.y + TITLE + AROUND + 0.5 * (self.wires_height() + self.scale * (self.above.up - self.above.down));
        let place = self.placed(self.above, top.x, floor);
        let at = |p: [f64; 3]| place(seen_from_above(p, azimuth_deg));
        if let (Some(radius), Some(azimuth_deg)) = (self.compass_radius(), azimuth_deg) {
            let middle = Spot {
                x: top.x + 0.5 * COLUMN,
                y: top.y + TITLE + AROUND + 0.5 * self.wires_height(),
            };
            compass(sheet, middle, radius, azimuth_deg);
        }
        self.draw_wires(sheet, &at);
        let mut labels = Labels::default();
        let side = |p: [f64; 3]| seen_from_side(p);
        for measure in &self.built.drawing.dimensions {
            // What the side view shows in full is not said twice.
            let ([x1, y1], [x2, y2]) = (side(measure.from_m), side(measure.to_m));
            let seen = self.scale * maths::hypot(x1 - x2, y1 - y2);
            let (a, b) = (at(measure.from_m), at(measure.to_m));
            if seen < 0.6 * maths::hypot(a.x - b.x, a.y - b.y) {
                self.measure(sheet, &mut labels, measure, &at);
            }
        }
        let foot = Spot {
            x: top.x,
            y: top.y + TITLE + 2.0 * AROUND + self.wires_height() + 8.0,
        };
        let said = match azimuth_deg {
            Some(azimuth) => format!("north is up; the antenna runs toward {azimuth:.0}° true"),
            None => "the antenna runs to the right; its direction is not stated".to_owned(),
        };
        sheet.text(foot, Letters::plain(13.0), &said);
        if azimuth_deg.is_some() && self.compass_radius().is_none() {
            let tip = Spot {
                x: top.x + COLUMN - 16.0,
                y: top.y + TITLE,
            };
            sheet.line(tip.by(0.0, 34.0), tip, INK, 1.4);
            sheet.line(tip.by(-4.0, 8.0), tip, INK, 1.4);
            sheet.line(tip.by(4.0, 8.0), tip, INK, 1.4);
            sheet.text(
                tip.by(0.0, 50.0),
                Letters::plain(13.0).at(Anchor::Middle).in_colour(INK),
                "N",
            );
        }
    }

    fn draw_wires(&self, sheet: &mut Sheet, at: &impl Fn([f64; 3]) -> Spot) {
        for wire in self.before.iter().flat_map(|b| &b.antenna.wires) {
            sheet.dashed(at(wire.p1_m), at(wire.p2_m), MUTED, 1.2);
        }
        let antenna = &self.built.antenna;
        for wire in &antenna.wires {
            sheet.line(at(wire.p1_m), at(wire.p2_m), INK, 2.2);
        }
        for load in &antenna.loads {
            if let Some(wire) = antenna.wires.get(load.wire) {
                let corner = at(wire.point_m(load.position)).by(-7.0, -7.0);
                sheet.card(corner, (14.0, 14.0), 0.0, Fill::solid(PAPER), Pen::full(TINT, 2.0));
            }
        }
        for source in &antenna.sources {
            if let Some(wire) = antenna.wires.get(source.wire) {
                sheet.dot(at(wire.point_m(source.position)), 4.0, TINT);
            }
        }
    }

    fn measure(&self, sheet: &mut Sheet, labels: &mut Labels, measure: &Dimension, at: &impl Fn([f64; 3]) -> Spot) {
        let (a, b) = (at(measure.from_m), at(measure.to_m));
        if maths::hypot(a.x - b.x, a.y - b.y) >= 10.0 {
            labels.measure(sheet, (a, b), &self.units.length(measure.length_m));
        } else if self.scale * (measure.from_m[2] - measure.to_m[2]).abs() < 10.0 {
            sheet.text(
                a.middle(b).by(0.0, -10.0),
                Letters::plain(13.0).at(Anchor::Middle).in_colour(TINT),
                &self.units.length(measure.length_m),
            );
        }
    }

    fn legend(&self) -> &'static str {
        if self.built.antenna.loads.is_empty() {
            "dot: feed; grey: ground, supports"
        } else {
            "dot: feed; square: coil or capacitor; grey: ground, supports"
        }
    }
}

/// Right and up, metres.
fn seen_from_side(p: [f64; 3]) -> [f64; 2] {
    [p[0], p[2]]
}

/// East and north where the direction is known, else along and across, metres.
fn seen_from_above(p: [f64; 3], azimuth_deg: Option<f64>) -> [f64; 2] {
    let Some(azimuth) = azimuth_deg else {
        return [p[0], p[1]];
    };
    let (sin, cos) = maths::sin_cos(azimuth.to_radians());
    [p[0] * sin - p[1] * cos, p[0] * cos + p[1] * sin]
}
