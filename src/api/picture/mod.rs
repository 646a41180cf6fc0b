//! Pictures: a small writer of SVG with scales, axes and panels, and the same picture as PNG.
//!
//! Knows no calculation. The same numbers give the same bytes on every machine: coordinates
//! are rounded to hundredths, and nothing is measured with a font of the system.
//!
//! Reading order: numbers and text, then scales, the writer, the sheet it writes on, panels.

pub mod theme;

pub(crate) mod number;
pub(crate) mod text;

pub(crate) mod scale;
pub(crate) mod thin;

pub(crate) mod svg;

pub(crate) mod panel;
pub(crate) mod sheet;

pub mod png;
