//! What is dissolved in water.

use super::quantity;
use crate::maths::range::Range;

quantity! {
    /// Mass of a dissolved ion or salt per volume of water, stored in mg/L.
    Concentration, from_milligrams_per_litre, milligrams_per_litre,
    Range::new("concentration", 0.0, 1_000_000.0, "mg/L")
}

impl Concentration {
    /// An ion of water that people drink.
    pub const DRINKING: Range = Range::new("concentration", 0.0, 2_000.0, "mg/L");
}

quantity! {
    /// Hardness or alkalinity, stored in mg/L as calcium carbonate.
    Hardness, from_milligrams_per_litre, milligrams_per_litre,
    Range::new("hardness or alkalinity", 0.0, 1_000_000.0, "mg/L as CaCO3")
}

quantity! {
    /// Acidity on the pH scale, stored as pH.
    Acidity, from_ph, ph, Range::new("pH", 0.0, 14.0, "1")
}

impl Acidity {
    /// Water that people brew with.
    pub const BREWING: Range = Range::new("pH", 4.0, 11.0, "1");
}

quantity! {
    /// Electrical conductivity at 25 °C, stored in µS/cm.
    Conductivity, from_microsiemens_per_centimetre, microsiemens_per_centimetre,
    Range::new("conductivity", 0.0, 10_000.0, "µS/cm")
}

quantity! {
    /// Half the sum of concentration times square of the charge, stored in mol/L; the activity
    /// formula of the saturation index holds to its end.
    IonicStrength, from_moles_per_litre, moles_per_litre,
    Range::new("ionic strength", 0.0, 0.5, "mol/L")
}
