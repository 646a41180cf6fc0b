//! What a look at a picture would find, at every size: text that leaves the sheet, text over
//! text, and pictures that are not well formed.

use std::sync::{Arc, LazyLock};

use extraction_maths::api::chart::find;
use extraction_maths::api::registry;
use extraction_maths::maths::quantity::Altitude;
use resvg::usvg::roxmltree::Document;
use resvg::usvg::{Group, Node, Options, Rect, Tree, fontdb};
use serde_json::{Value, json};

use super::{all, drawn};

const WIDTHS: [u16; 5] = [300, 400, 800, 1200, 2000];

fn options() -> &'static Options<'static> {
    static OPTIONS: LazyLock<Options<'static>> = LazyLock::new(|| {
        let mut fonts = fontdb::Database::new();
        let font = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/src/api/picture/font/DejaVuSans.ttf"
        );
        fonts.load_font_data(std::fs::read(font).expect("a font"));
        Options {
            fontdb: Arc::new(fonts),
            ..Options::default()
        }
    });
    &OPTIONS
}

/// Every text of a picture and the room that its letters take.
fn texts(group: &Group, found: &mut Vec<(String, Rect)>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => texts(inner, found),
            Node::Text(text) => {
                let words: Vec<_> = text.chunks().iter().map(|chunk| chunk.text()).collect();
                // the letters without the line around them
                found.push((words.concat(), text.abs_bounding_box()));
            }
            Node::Path(_) | Node::Image(_) => {}
        }
    }
}

/// Whether two rooms share more than their edges.
fn overlap(a: &Rect, b: &Rect) -> bool {
    let hair = 1.0;
    a.left() + hair < b.right()
        && b.left() + hair < a.right()
        && a.top() + hair < b.bottom()
        && b.top() + hair < a.bottom()
}

/// Appends what is wrong with the places of a picture's texts.
fn judge(svg: &str, at: &str, wrong: &mut Vec<String>) {
    let tree = Tree::from_str(svg, options()).expect("a picture");
    let (right, bottom) = (tree.size().width(), tree.size().height());
    let mut found = Vec::new();
    texts(tree.root(), &mut found);
    assert!(found.len() > 8, "{at}: no text");
    for (place, (words, room)) in found.iter().enumerate() {
        let is_inside = room.left() >= 0.0
            && room.top() >= 0.0
            && room.right() <= right
            && room.bottom() <= bottom;
        if !is_inside {
            wrong.push(format!("{at}: {words:?} leaves the sheet"));
        }
        for (other, its) in &found[place + 1..] {
            if overlap(room, its) {
                wrong.push(format!("{at}: {words:?} on {other:?}"));
            }
        }
    }
}

#[test]
fn no_text_leaves_the_sheet_or_stands_on_another() {
    let mut wrong = Vec::new();
    for (chart, name, body) in all() {
        for width in WIDTHS {
            let svg = drawn(chart, body, &format!("width={width}"));
            let at = format!("{} {name} {width}", chart.name);
            judge(&svg, &at, &mut wrong);
        }
    }
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
}

/// A brew among many, with a label of some kind.
fn brew(number: u32) -> Value {
    let labels = [
        "washed <lot> & \"double\"",
        "\u{30b3}\u{30fc}\u{30d2}\u{30fc}\u{8c46}",
        "\u{642}\u{647}\u{648}\u{629} \u{639}\u{631}\u{628}\u{64a}\u{629}",
        "a label that goes on until it has the sixty letters it may",
    ];
    let (part, other) = (f64::from(number % 19) / 19.0, f64::from(number % 31) / 31.0);
    json!({
        "label": labels[number as usize % 4], "dose_g": 20,
        "beverage_mass_g": 260.0 + 70.0 * part, "tds_percent": 1.0 + 0.6 * other,
        "tds_uncertainty_percent": 0.02,
    })
}

/// Requests at the ends of what is accepted: a crowd with labels of every kind, a brew far from
/// its window, one that nobody knows, a lone input, the ends of the altitudes, far targets.
fn extremes() -> Vec<(&'static str, Value)> {
    let crowd: Vec<_> = (0..150).map(brew).collect();
    vec![
        (
            "strength-and-yield",
            json!({"brew_kind": "filter", "points": crowd}),
        ),
        (
            "strength-and-yield",
            json!({"brew_kind": "filter", "points": [brew(2)]}),
        ),
        (
            "strength-and-yield",
            json!({"dose_g": 18, "beverage_mass_g": 60, "tds_percent": 1.2}),
        ),
        (
            "strength-and-yield",
            json!({"dose_g": 18, "beverage_mass_g": 20, "tds_percent": 20}),
        ),
        (
            "strength-and-yield",
            json!({"dose_g": 18, "beverage_mass_g": 36, "tds_percent": 9.5, "tds_uncertainty_percent": 3}),
        ),
        (
            "uncertainty",
            json!({"dose_g": 18, "beverage_mass_g": 36, "tds_percent": 9.5, "dose_uncertainty_g": 1e-6}),
        ),
        ("boiling-point", json!({"altitude_m": Altitude::RANGE.min})),
        (
            "boiling-point",
            json!({"altitude_m": Altitude::RANGE.max, "target_temperature_c": 60}),
        ),
        (
            "boiling-point",
            json!({"altitude_m": 0, "target_temperature_c": 99.9}),
        ),
    ]
}

#[test]
fn nor_does_it_at_the_ends_of_what_is_accepted() {
    let mut wrong = Vec::new();
    for (place, (name, body)) in extremes().iter().enumerate() {
        let chart = find(name).expect("a chart");
        for width in [400, 1200] {
            let svg = drawn(chart, &body.to_string(), &format!("width={width}"));
            judge(&svg, &format!("{name} {place} {width}"), &mut wrong);
        }
    }
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
}

/// Six seconds without a reading: beverage and flow are two lines each.
#[test]
fn no_line_is_drawn_where_readings_are_missing() {
    let entry = registry::find("shot-readings").expect("a calculation");
    let example = entry.examples.iter().find(|e| e.name == "lab-pressure");
    let mut body: Value = serde_json::from_str(example.expect("an example").body).expect("JSON");
    let lines = |body: &Value| {
        let svg = drawn(find("shot").expect("a chart"), &body.to_string(), "");
        ["a", "c", "b"].map(|class| svg.matches(&format!("<polyline class=\"{class}\"")).count())
    };
    assert_eq!(lines(&body), [1, 1, 1]);
    let times = body["time_s"].as_array().expect("times").clone();
    let is_kept = |time: &Value| !(14.1..19.9).contains(&time.as_f64().expect("a time"));
    for name in ["time_s", "mass_g"] {
        let all = body[name].as_array().expect("a series");
        let kept = all.iter().zip(&times).filter(|(_, time)| is_kept(time));
        body[name] = kept.map(|(value, _)| value.clone()).collect();
    }
    assert_eq!(lines(&body), [2, 2, 1]);
}

#[test]
fn a_picture_is_well_formed_described_and_refers_to_nothing() {
    for (chart, name, body) in all() {
        let svg = drawn(chart, body, "");
        let document =
            Document::parse(&svg).unwrap_or_else(|e| panic!("{} {name}: {e}", chart.name));
        let root = document.root_element();
        let (title, description) = (root.first_element_child(), root.first_element_child());
        let title = title.filter(|node| node.has_tag_name((SVG, "title")));
        let description = description.and_then(|node| node.next_sibling_element());
        let description = description.filter(|node| node.has_tag_name((SVG, "desc")));
        assert!(
            title
                .and_then(|node| node.text())
                .is_some_and(|text| !text.is_empty())
        );
        assert!(
            description
                .and_then(|node| node.text())
                .is_some_and(|text| text.len() > 20)
        );
        assert_eq!(root.attribute("role"), Some("img"));
        for node in document.descendants().filter(|node| node.is_element()) {
            let is_known = [
                "svg", "title", "desc", "style", "rect", "line", "polyline", "text", "g", "circle",
                "path", "ellipse",
            ]
            .contains(&node.tag_name().name());
            assert!(is_known, "{:?}", node.tag_name());
            for attribute in node.attributes() {
                let name = attribute.name();
                assert!(
                    !name.starts_with("on") && !name.ends_with("href") && name != "id",
                    "{name}"
                );
            }
        }
        for word in ["NaN", "\"inf", "url("] {
            assert!(!svg.contains(word), "{} {name}: {word}", chart.name);
        }
    }
}

const SVG: &str = "http://www.w3.org/2000/svg";
