//! What is dissolved in brewing water: ions, hardness, alkalinity, scale, blends and salts; and
//! how reactions go with temperature.
//!
//! Reading order: rates, ions, hardness and alkalinity, what a meter shows, equilibrium constants,
//! the saturation indices, scale, then blends, salts and dosing.

pub mod rates;

pub mod ions;

pub mod alkalinity;
pub mod hardness;

pub mod conductivity;

pub mod activity;
pub mod equilibrium;
pub mod four_factor;
pub mod saturation;

pub mod scale;

pub mod blend;

pub mod dosing;
pub mod salts;
