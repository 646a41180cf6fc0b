//! The same picture as PNG, drawn by `resvg` with a font that is part of the program.

use std::sync::{Arc, OnceLock};

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::fontdb::{Database, Source};
use resvg::usvg::{Options, Tree};

use crate::api::problem::Problem;

/// `DejaVu Sans` 2.37; its licence stands beside it.
static FONT: &[u8] = include_bytes!("font/DejaVuSans.ttf");
const FAMILY: &str = "DejaVu Sans";

/// The PNG of an SVG that this module's neighbours have written, a pixel for each of its units.
///
/// # Errors
/// 500 when it cannot be drawn, which is a mistake of ours.
pub fn of(svg: &str) -> Result<Vec<u8>, Problem> {
    let failed = |error: &dyn std::fmt::Display| Problem::internal(format!("PNG: {error}"));
    let tree = Tree::from_str(svg, options()).map_err(|error| failed(&error))?;
    let size = tree.size().to_int_size();
    let mut pixels =
        Pixmap::new(size.width(), size.height()).ok_or_else(|| failed(&"a sheet without size"))?;
    resvg::render(&tree, Transform::default(), &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| failed(&error))
}

/// Nothing is read from the system: no fonts, no files.
fn options() -> &'static Options<'static> {
    static OPTIONS: OnceLock<Options<'static>> = OnceLock::new();
    OPTIONS.get_or_init(|| {
        let mut fonts = Database::new();
        fonts.load_font_source(Source::Binary(Arc::new(FONT)));
        fonts.set_sans_serif_family(FAMILY);
        Options {
            font_family: FAMILY.to_owned(),
            fontdb: Arc::new(fonts),
            ..Options::default()
        }
    })
}
