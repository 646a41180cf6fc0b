//! The pictures that are committed under `docs/charts` are the ones that are drawn.
//!
//! They are written anew with `EXTRACTION_MATHS_WRITE_CHARTS=1 cargo test --test api golden`;
//! whoever does that looks at them.

use std::path::PathBuf;

use extraction_maths::api::chart::{CHARTS, ChartEntry};
use extraction_maths::api::picture::png;
use resvg::tiny_skia::Pixmap;
use resvg::usvg::roxmltree::{Document, Node};

use super::{bodies, drawn};

/// What is looked at: the ending of the file's name, and how it is drawn.
const LOOKS: [(&str, &str); 3] = [
    (".svg", "width=800&theme=auto"),
    ("-400-light.png", "width=400&theme=light"),
    ("-1200-dark.png", "width=1200&theme=dark"),
];

/// Units by which a coordinate may differ: hundredths are written, and one may round up
/// elsewhere.
const HAIR: f64 = 0.011;

fn path(chart: &ChartEntry, ending: &str) -> PathBuf {
    let top = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    top.join("docs/charts")
        .join(format!("{}{ending}", chart.name))
}

#[test]
fn the_committed_pictures_are_the_ones_drawn() {
    let is_written = std::env::var_os("EXTRACTION_MATHS_WRITE_CHARTS").is_some();
    for chart in CHARTS {
        // the form with many points shows the most
        let body = match &chart.many {
            Some(many) => many.example.2,
            None => bodies(chart)[0].1,
        };
        for (ending, query) in LOOKS {
            let svg = drawn(chart, body, query);
            let path = path(chart, ending);
            let is_png = ending == "-400-light.png" || ending == "-1200-dark.png";
            let bytes = if is_png {
                png::of(&svg).expect("pixels")
            } else {
                svg.into_bytes()
            };
            if is_written {
                std::fs::write(&path, &bytes).expect("a file");
            }
            let known = std::fs::read(&path).unwrap_or_else(|e| panic!("{path:?}: {e}"));
            if is_png {
                assert_same_pixels(&known, &bytes, &path);
            } else {
                assert_same_structure(&known, &bytes, &path);
            }
        }
    }
}

fn assert_same_structure(known: &[u8], drawn: &[u8], path: &PathBuf) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("UTF-8");
    let (known, drawn) = (text(known), text(drawn));
    let known = Document::parse(&known).expect("XML");
    let drawn = Document::parse(&drawn).expect("XML");
    let mut pairs = known.descendants().zip(drawn.descendants());
    assert_eq!(
        known.descendants().count(),
        drawn.descendants().count(),
        "{path:?}"
    );
    assert!(
        pairs.all(|(known, drawn)| is_same(known, drawn)),
        "{path:?}"
    );
}

fn is_same(known: Node<'_, '_>, drawn: Node<'_, '_>) -> bool {
    let (old, new) = (known.attributes(), drawn.attributes());
    let is_same_node = known.node_type() == drawn.node_type()
        && known.tag_name() == drawn.tag_name()
        && (!known.is_text() || known.text() == drawn.text());
    is_same_node
        && old.len() == new.len()
        && old
            .zip(new)
            .all(|(old, new)| old.name() == new.name() && is_near(old.value(), new.value()))
}

/// Whether two values are the same but for hairs of their numbers.
fn is_near(known: &str, drawn: &str) -> bool {
    let parts = |value: &str| -> Vec<String> {
        let is_end = |c: char| matches!(c, ' ' | ',' | 'M' | 'L' | 'Z' | '(' | ')');
        value.split(is_end).map(str::to_owned).collect()
    };
    let (known, drawn) = (parts(known), parts(drawn));
    let is_near = |(old, new): (&String, &String)| match (old.parse::<f64>(), new.parse::<f64>()) {
        (Ok(old), Ok(new)) => (old - new).abs() <= HAIR,
        _ => old == new,
    };
    known.len() == drawn.len() && known.iter().zip(&drawn).all(is_near)
}

fn assert_same_pixels(known: &[u8], drawn: &[u8], path: &PathBuf) {
    let (known, drawn) = (
        Pixmap::decode_png(known).expect("a PNG"),
        Pixmap::decode_png(drawn).expect("a PNG"),
    );
    let size = |map: &Pixmap| (map.width(), map.height());
    assert_eq!(size(&known), size(&drawn), "{path:?}");
    let bytes = known.data().iter().zip(drawn.data());
    // edges may be smoothed a little otherwise where the processor is another
    let differing = bytes.filter(|(old, new)| old.abs_diff(**new) > 16).count();
    assert!(
        differing * 500 < known.data().len(),
        "{path:?}: {differing}"
    );
}
