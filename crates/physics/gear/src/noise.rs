//! Man-made noise surroundings.

words! {
    /// Surroundings of a receiving site (Rec. ITU-R P.372, section on man-made noise), the noisiest first.
    #[derive(Default)]
    pub enum NoiseClass {
        /// City: business and industrial districts.
        City = "city",
        /// Residential: towns and villages, houses and gardens.
        Residential = "residential",
        /// Rural: farm land, scattered houses.
        Rural = "rural",
        /// Quiet rural: chosen for the absence of man-made noise, far from power lines.
        #[default]
        QuietRural = "quiet-rural",
    }
}
