//! What a look at a picture would find, at every size: text that leaves the sheet, text over
//! text, and pictures that are not well formed.

use resvg::usvg::roxmltree::Document;
use resvg::usvg::{Group, Node, Options, Rect, Tree, fontdb};

use super::{all, drawn};

const WIDTHS: [u16; 5] = [300, 400, 800, 1200, 2000];

fn options() -> Options<'static> {
    let mut fonts = fontdb::Database::new();
    let font = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/src/api/picture/font/DejaVuSans.ttf"
    );
    fonts.load_font_data(std::fs::read(font).expect("a font"));
    Options {
        fontdb: std::sync::Arc::new(fonts),
        ..Options::default()
    }
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

#[test]
fn no_text_leaves_the_sheet_or_stands_on_another() {
    let options = options();
    let mut wrong = Vec::new();
    for (chart, name, body) in all() {
        for width in WIDTHS {
            let svg = drawn(chart, body, &format!("width={width}"));
            let tree = Tree::from_str(&svg, &options).expect("a picture");
            let (right, bottom) = (tree.size().width(), tree.size().height());
            let mut found = Vec::new();
            texts(tree.root(), &mut found);
            assert!(found.len() > 8, "{} {name}: no text", chart.name);
            let at = format!("{} {name} {width}", chart.name);
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
    }
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
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
