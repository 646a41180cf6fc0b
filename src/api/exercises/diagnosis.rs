//! What went wrong in a step, where it can be told: codes and texts as one table.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

macro_rules! diagnoses {
    ($($variant:ident, $text:literal;)*) => {
        /// What went wrong in a step.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum DiagnosisCode {
            $(#[doc = $text] $variant,)*
        }

        impl DiagnosisCode {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The sentence for a student.
            #[must_use]
            pub const fn text(self) -> &'static str {
                match self {
                    $(Self::$variant => $text,)*
                }
            }
        }
    };
}

diagnoses! {
    WrongUnit, "The quantity is right, but in another unit than the one asked for.";
    SwappedMasses, "Two masses are exchanged: look which one the formula divides by.";
    SwappedPercents, "Strength and yield are exchanged.";
    SwappedTemperatures, "Two temperatures are exchanged.";
    SwappedIons, "Calcium and magnesium are exchanged: their equivalent masses differ.";
    SwappedWaters, "The two waters are exchanged.";
    PercentForFraction, "A percentage and a fraction are mixed up: the result is off by a hundred.";
    PercolationForImmersion, "The formula of percolation was used for an immersion: there the liquid held by the grounds is as strong as the cup.";
    ImmersionForPercolation, "The formula of immersion was used for a percolation: there the solids in the cup are all that was extracted.";
    WrongBrewKind, "What the grounds retain was taken for another kind of brew.";
    UpsideDown, "A ratio is upside down, or a division stands where a product belongs.";
    WrongWayRound, "The conversion was done the wrong way round.";
    HalfWidthForStandardUncertainty, "A half-width was used as it is: the standard uncertainty of a rectangular distribution is the half-width over √3.";
    NoCoffeeFactor, "The sugar scale was read as coffee: the factor from Brix to coffee solids is missing.";
    PlainMean, "A plain mean was taken where the parts weigh differently: weigh each by its mass.";
    PopulationDivisor, "The squares were divided by the number of readings: divide by the degrees of freedom.";
    SingleForMean, "The scatter of single readings was used for that of their mean: divide by √n.";
    HydrateForgotten, "The water in the crystals of the salt was left out of its molar mass.";
    StartForgotten, "What is in the water already was not taken off.";
    TareForgotten, "The dish was weighed in: take its tare off both masses.";
    FeetForMetres, "An altitude in metres was used as feet.";
    SeaLevelAssumed, "The air pressure at the sea was used instead of that of the place.";
    GaugeForAbsolute, "A gauge pressure was used as an absolute one: add the air pressure first.";
    AbsoluteForGauge, "An absolute pressure was used as what a gauge shows: take the air pressure off.";
    DiameterForRadius, "The diameter was used as the radius, which makes the area four times too large.";
    CylinderForCone, "The basket was taken for a cylinder, but it narrows towards its bottom.";
    VesselForgotten, "The vessel was left out of the heat balance.";
    RiseFromZero, "The final temperature was used as the rise: take the first one off it.";
    LossForgotten, "The heat that is lost was left out.";
    WetSteamForgotten, "The steam was taken for dry: its water brings less heat.";
    SwappedTitrations, "The two titrations are exchanged.";
    WasteForgotten, "The waste was not allowed for.";
    FreezerForgotten, "The days in the freezer were counted as ageing.";
    WrongSign, "The amount is right, but the sign is not.";
    DecimalPoint, "The digits are right, but the decimal point is elsewhere.";
    RoundedTooEarly, "Near, but not to the figures asked for: keep more digits until the last step.";
    Missing, "No answer was given.";
    NotTold, "The value is not right, and the reason cannot be told from it.";
}
