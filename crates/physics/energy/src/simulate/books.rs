//! The books of a source: every watt-hour has one place.

/// Energy of one source over the outing, Wh.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Books {
    /// Stored at the start, Wh.
    pub stored_start_wh: f64,
    /// Stored at the end, Wh.
    pub stored_end_wh: f64,
    /// Taken from the panels, at the input of the controllers, Wh.
    pub sun_in_wh: f64,
    /// Delivered to loads, behind cables and converters, Wh.
    pub delivered_wh: f64,
    /// Lost in cables, Wh.
    pub cable_loss_wh: f64,
    /// Lost in converters, Wh.
    pub converter_loss_wh: f64,
    /// Lost in charge controllers, Wh.
    pub controller_loss_wh: f64,
    /// Heat in the battery's resistance, Wh.
    pub internal_loss_wh: f64,
    /// Heat of the slow polarisation in the cold, Wh.
    pub cold_loss_wh: f64,
    /// Charge that a high current makes unavailable (Peukert), Wh.
    pub rate_loss_wh: f64,
    /// Charging current that is not stored, Wh.
    pub acceptance_loss_wh: f64,
    /// Self-discharge and self-consumption, Wh.
    pub rest_loss_wh: f64,
    /// What the panels could have given and nothing took, Wh (not part of the balance).
    pub unused_sun_wh: f64,
}

impl Books {
    /// All losses, Wh.
    #[must_use]
    pub fn losses_wh(&self) -> f64 {
        self.cable_loss_wh
            + self.converter_loss_wh
            + self.controller_loss_wh
            + self.internal_loss_wh
            + self.cold_loss_wh
            + self.rate_loss_wh
            + self.acceptance_loss_wh
            + self.rest_loss_wh
    }

    /// In − (stored + delivered + lost), Wh: zero but for rounding.
    #[must_use]
    pub fn imbalance_wh(&self) -> f64 {
        self.sun_in_wh - (self.stored_end_wh - self.stored_start_wh) - self.delivered_wh - self.losses_wh()
    }
}
