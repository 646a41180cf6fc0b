//! What the model leaves out or does not do: one table of codes and texts.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Declares the limits: variant, text; the code is the variant in snake case.
macro_rules! limits {
    ($($variant:ident, $text:literal;)*) => {
        /// Stable code of a limit of the model.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum LimitCode {
            $(#[doc = $text] $variant,)*
        }

        impl Limit {
            /// Every limit of the model.
            pub(super) fn all() -> Vec<Self> {
                vec![$(Self { code: LimitCode::$variant, text: Cow::Borrowed($text) },)*]
            }
        }
    };
}

limits! {
    NotValidated, "No raw experimental curve was compared with the model; several constants are assumed, and some were set so that 20 g give 40 g in about 28 s at 9 bar with a yield near 20 %.";
    NoTaste, "It says nothing of taste: strength and yield are all it knows of the cup.";
    NoFineGrindPeak, "The bed is homogeneous, so the yield rises all the way to the finest grind; experiments show a peak and a fall beyond it.";
    GrindSensitivity, "The yield probably changes more with the grind than it does in practice.";
    NoChannels, "Water runs alike through the whole area; an uneven bed extracts less.";
    PercolationOnly, "It is for espresso; the same constants give too high a yield for immersion.";
    OneTemperature, "Water and bed have one temperature from the first moment on; the heating of the bed is left out.";
    NoCapillarity, "Capillary suction is left out: kilopascals against bars.";
    NoGas, "Carbon dioxide and trapped air are left out.";
    NoFinesMigration, "Fines stay where they are.";
    NoSwellingInTime, "Grains do not swell over time; the water they take up is there at once.";
    NoInertia, "The flow is laminar without inertia, which is borderline at espresso's gradients.";
    NoSpoutHoldUp, "What leaves the bed is in the cup at once; drops that hang in basket and spout are left out.";
}

/// Something that the model leaves out or does not do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Limit {
    /// Stable code, for a caller who translates.
    pub code: LimitCode,
    /// The text in English.
    pub text: Cow<'static, str>,
}
