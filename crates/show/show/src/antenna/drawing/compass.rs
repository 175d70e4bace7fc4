//! A circle with a grip, on which a page lets the direction be drawn around.

use farhop_num::maths;

use crate::sheet::{Anchor, INK, Letters, SOFT, Sheet, Spot, TINT};

/// Radius of the grip.
const GRIP: f64 = 11.0;

/// Width in which the circle and the grip answer to a finger.
const HIT: f64 = 44.0;

/// The circle around a middle, with the four directions and a grip toward a bearing, degrees true. A page finds it by its class, and its
/// middle and bearing in its data.
pub(super) fn compass(sheet: &mut Sheet, middle: Spot, radius: f64, azimuth_deg: f64) {
    let data = format!(
        r#"class="compass" data-x="{:.1}" data-y="{:.1}" data-deg="{azimuth_deg:.1}""#,
        middle.x, middle.y
    );
    sheet.grouped(&data, |sheet| {
        // What a finger can hit, and nobody sees.
        sheet.ring(middle, radius, "transparent", HIT);
        sheet.ring(middle, radius, SOFT, 1.0);
        let toward = |deg: f64, away: f64| {
            let (sin, cos) = maths::sin_cos(deg.to_radians());
            middle.by(away * sin, -away * cos)
        };
        let letters = Letters::plain(13.0).at(Anchor::Middle).in_colour(INK);
        for (word, deg) in [("N", 0.0), ("E", 90.0), ("S", 180.0), ("W", 270.0)] {
            sheet.line(toward(deg, radius - 4.0), toward(deg, radius + 4.0), SOFT, 1.0);
            sheet.text(toward(deg, radius + 15.0).by(0.0, 4.0), letters, word);
        }
        sheet.dot(toward(azimuth_deg, radius), GRIP, TINT);
    });
}
