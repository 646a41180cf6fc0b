//! The pages for people: one for every calculation, whole, safe and served by the service alone.

use std::collections::BTreeSet;

use extraction_maths::api::calculation::Tag;
use extraction_maths::api::caution::CautionCode;
use extraction_maths::api::chart::CHARTS;
use extraction_maths::api::picture::theme::Theme;
use extraction_maths::api::registry::{Entry, REGISTRY};
use resvg::usvg::roxmltree::Document;
use serde_json::Value;

use crate::support::http::send;

/// Elements that have no end.
const VOID: [&str; 5] = ["meta", "link", "input", "br", "wbr"];

async fn page_of(entry: &Entry) -> String {
    let path = format!("/docs/calculations/{}", entry.name);
    let reply = send(("GET", &path), &[], "").await;
    assert_eq!(reply.status, 200, "{path}");
    assert_eq!(reply.header("content-type"), "text/html; charset=utf-8");
    reply.text().to_owned()
}

/// The values of an attribute, in the order of the text.
fn attributes<'t>(text: &'t str, name: &str) -> Vec<&'t str> {
    let mark = format!(" {name}=\"");
    let parts = text.split(mark.as_str()).skip(1);
    parts.filter_map(|part| part.split('"').next()).collect()
}

/// The text without the places where a browser may break a line.
fn joined(text: &str) -> String {
    text.replace("<wbr>", "")
}

#[tokio::test]
async fn every_calculation_has_a_page_of_all_its_fields() {
    for entry in REGISTRY {
        let text = joined(&page_of(entry).await);
        let (request, response) = (entry.request_schema(), entry.response_schema());
        for root in [&request.root, &response.root] {
            for name in root["properties"].as_object().expect("fields").keys() {
                assert!(
                    text.contains(&format!("<dt><code>{name}</code>")),
                    "{}: {name}",
                    entry.name
                );
            }
        }
        let schema = format!("{request:?}");
        let is_asked = |field: &str| schema.contains(&format!("{field:?}"));
        for bound in entry.bounds.iter().filter(|bound| is_asked(bound.field)) {
            assert!(
                text.contains(bound.field),
                "{}: {}",
                entry.name,
                bound.field
            );
        }
    }
}

#[tokio::test]
async fn every_page_shows_formulas_sources_cautions_and_problems() {
    for entry in REGISTRY {
        let text = page_of(entry).await;
        for answer in entry.example_answers() {
            for id in answer["sources"].as_array().expect("sources") {
                let id = id.as_str().expect("an id");
                assert!(
                    text.contains(&format!("id=\"source-{id}\"")),
                    "{}: {id}",
                    entry.name
                );
            }
        }
        for caution in entry.cautions {
            assert!(
                text.contains(caution.as_str()),
                "{}: {}",
                entry.name,
                caution.as_str()
            );
        }
        // exercises have no formula of their own: their topics' pages show them
        assert!(
            entry.tag == Tag::Course || text.contains("<h2 id=\"formulas\">"),
            "{} shows no formula",
            entry.name
        );
        assert!(text.contains("<a href=\"/problems/validation_failed\">"));
    }
}

/// What an answer tells its caller to mind stands in the list of its calculation.
#[test]
fn every_caution_of_an_example_is_declared() {
    for entry in REGISTRY {
        let declared: BTreeSet<_> = entry.cautions.iter().map(|code| code.as_str()).collect();
        assert_eq!(
            declared.len(),
            entry.cautions.len(),
            "{} declares one twice",
            entry.name
        );
        for answer in entry.example_answers() {
            for caution in answer["cautions"].as_array().into_iter().flatten() {
                let code = caution["code"].as_str().expect("a code");
                assert!(declared.contains(code), "{} gives {code}", entry.name);
            }
        }
    }
    let all: BTreeSet<_> = REGISTRY
        .iter()
        .flat_map(|entry| entry.cautions)
        .map(|code| code.as_str())
        .collect();
    let unused: Vec<_> = CautionCode::ALL
        .iter()
        .filter(|code| !all.contains(code.as_str()))
        .collect();
    assert!(unused.is_empty(), "no calculation gives {unused:?}");
}

#[tokio::test]
async fn the_pages_close_what_they_open_and_name_everything_once() {
    for entry in REGISTRY {
        let text = page_of(entry).await;
        let mut open = Vec::new();
        let whole = text.split('<').skip(1);
        // an element of a picture may end where it begins
        let tags = whole.filter(|part| !part.split('>').next().is_some_and(|t| t.ends_with('/')));
        for tag in tags.filter_map(|part| part.split(['>', ' ', '\n']).next()) {
            match tag.strip_prefix('/') {
                Some(ended) => assert_eq!(open.pop(), Some(ended), "{}", entry.name),
                None if tag.starts_with('!') || VOID.contains(&tag) => {}
                None => open.push(tag),
            }
        }
        assert!(open.is_empty(), "{}: {open:?}", entry.name);
        let ids = attributes(&text, "id");
        let once: BTreeSet<_> = ids.iter().collect();
        assert_eq!(once.len(), ids.len(), "{}", entry.name);
        for label in attributes(&text, "for") {
            assert!(once.contains(&label), "{}: a label of {label}", entry.name);
        }
        assert_eq!(text.matches("<h1>").count(), 1);
    }
}

/// The text between two marks, from the first to the nearest second, as often as there is one.
fn between<'t>(text: &'t str, from: &str, to: &'t str) -> Vec<&'t str> {
    let parts = text.split(from).skip(1);
    parts.filter_map(|part| part.split(to).next()).collect()
}

#[tokio::test]
async fn a_calculation_with_charts_shows_an_example_of_each() {
    for entry in REGISTRY {
        let text = page_of(entry).await;
        let charts: Vec<_> = CHARTS
            .iter()
            .filter(|chart| chart.calculation == entry.name)
            .collect();
        let figures = between(&text, "<figure class=\"chart\">", "</figure>");
        assert_eq!(figures.len(), charts.len(), "{}", entry.name);
        assert_eq!(text.contains("<h2 id=\"chart\">"), !charts.is_empty());
        for (chart, figure) in charts.iter().zip(figures) {
            let (picture, caption) = figure.split_once("<figcaption>").expect("a caption");
            assert!(caption.contains(chart.path) && caption.contains(&chart.operation_id()));
            assert_eq!(
                entry.is_flat(),
                caption.contains(&format!("{}?", chart.path))
            );
            let sizes = between(picture, "<div class=\"", "\"");
            assert_eq!(sizes, ["wide", "narrow"], "{}", chart.name);
            for inside in between(picture, "<div class=\"", "</div>") {
                let (_, svg) = inside.split_once('>').expect("an element");
                shows_a_picture(chart.name, svg.trim());
            }
        }
    }
}

/// A picture is well formed, has a name and a description, and looks as the page says.
fn shows_a_picture(name: &str, svg: &str) {
    let document = Document::parse(svg).unwrap_or_else(|e| panic!("{name}: {e}"));
    let root = document.root_element();
    assert_eq!(root.attribute("role"), Some("img"), "{name}");
    let told = |tag: &str| {
        let mut children = root.children();
        let node = children.find(|node| node.tag_name().name() == tag);
        node.and_then(|node| node.text().map(str::len))
    };
    assert!(told("title").is_some_and(|length| length > 5), "{name}");
    assert!(told("desc").is_some_and(|length| length > 20), "{name}");
    assert_eq!(told("style"), None, "{name}");
    assert!(document.descendants().count() > 30, "{name}");
}

#[tokio::test]
async fn the_page_has_the_colours_that_its_pictures_leave_to_it() {
    let style = send(("GET", "/docs/guide/chart.css"), &[], "").await;
    assert_eq!(style.header("content-type"), "text/css; charset=utf-8");
    assert_eq!(style.text(), Theme::Auto.style());
    let index = send(("GET", "/docs/calculations"), &[], "").await;
    assert!(index.text().contains("href=\"/docs/guide/chart.css\""));
}

#[tokio::test]
async fn the_pages_load_nothing_from_elsewhere_and_every_link_leads_somewhere() {
    let mut seen = BTreeSet::new();
    let index = send(("GET", "/docs/calculations"), &[], "").await;
    let mut texts = vec![index.text().to_owned()];
    for entry in REGISTRY {
        texts.push(page_of(entry).await);
    }
    for text in &texts {
        for link in [attributes(text, "href"), attributes(text, "src")].concat() {
            assert!(
                link.starts_with(['/', '#']) && !link.starts_with("//"),
                "{link}"
            );
            if let Some(id) = link.strip_prefix('#') {
                assert!(text.contains(&format!("id=\"{id}\"")), "{link}");
            } else {
                seen.insert(link.split('#').next().expect("a path"));
            }
        }
        assert!(!text.contains(" style=") && !text.contains("<style"));
        assert!(!text.contains(" onclick=") && !text.contains("<script>"));
    }
    for link in &seen {
        let link = link.replace("&amp;", "&");
        assert_eq!(send(("GET", &link), &[], "").await.status, 200, "{link}");
    }
    for entry in REGISTRY {
        assert!(seen.contains(format!("/docs/calculations/{}", entry.name).as_str()));
    }
    let policy = index.header("content-security-policy");
    assert!(policy.starts_with("default-src 'none'; style-src 'self'; script-src 'self'"));
    assert!(!policy.contains("unsafe"));
}

#[tokio::test]
async fn the_form_of_a_flat_calculation_is_a_query_that_is_answered() {
    for entry in REGISTRY.iter().filter(|entry| entry.is_flat()) {
        let text = page_of(entry).await;
        let action = format!(
            "<form class=\"try\" method=\"get\" action=\"{}\"",
            entry.path()
        );
        assert!(text.contains(&action), "{}", entry.name);
        let example: Value = serde_json::from_str(entry.examples[0].body).expect("JSON");
        for name in example.as_object().expect("fields").keys() {
            assert!(
                attributes(&text, "name").contains(&name.as_str()),
                "{}: {name}",
                entry.name
            );
        }
    }
    // a browser without the script sends what was left empty as well
    let path = "/v1/ratio?dose_g=18&brew_ratio=2&water_mass_g=&workings=&display=true";
    let reply = send(("GET", path), &[], "").await.json();
    assert_eq!(reply["beverage_mass_g"], 36.0);
}

#[tokio::test]
async fn a_name_may_be_escaped_and_an_unknown_one_is_a_problem() {
    let plain = send(("GET", "/docs/calculations/recipes/menu"), &[], "").await;
    let escaped = send(("GET", "/docs/calculations/recipes%2Fmenu"), &[], "").await;
    assert_eq!(plain.text(), escaped.text());
    for path in ["/docs/calculations/nothing", "/docs/guide/nothing.js"] {
        let reply = send(("GET", path), &[], "").await;
        assert_eq!(
            (reply.status, &reply.json()["code"]),
            (404, &"not_found".into())
        );
    }
    let reply = send(("POST", "/docs/guide/guide.js"), &[], "").await;
    assert_eq!((reply.status, reply.header("allow")), (405, "GET, HEAD"));
    let script = send(("GET", "/docs/guide/guide.js"), &[], "").await;
    assert_eq!(
        script.header("content-type"),
        "text/javascript; charset=utf-8"
    );
    assert_eq!(script.header("cache-control"), "public, max-age=300");
}
