//! The list of the calculations and the page of each.

use std::fmt::Write;

use super::fields::{self, Side};
use super::frame::{page, section};
use super::{path, pictures, trial, working};
use crate::api::calculation::{Tag, Weight};
use crate::api::caution::{CautionCode, Severity};
use crate::api::problem::ProblemCode;
use crate::api::provenance::{Basis, Provenance};
use crate::api::registry::Entry;
use crate::api::schemas::Schemas;
use crate::server::document;
use crate::server::html::{escaped, with_code};
use crate::server::mount;

/// Sections of a page: id and heading.
const SECTIONS: [(&str, &str); 9] = [
    ("try", "Try it"),
    ("chart", "As a chart"),
    ("formulas", "Formulas"),
    ("request", "What to send"),
    ("answer", "What comes back"),
    ("sources", "Sources"),
    ("cautions", "Cautions"),
    ("problems", "Problems"),
    ("call", "From a program"),
];

/// The list, by groups.
pub(super) fn index(registry: &'static [Entry]) -> String {
    let mut main = "<h1>Calculations</h1>\n<p class=\"lead\">What each one computes, by which \
        formulas, from which sources, with a call to try. Readings become numbers that can be \
        checked; nothing here is advice on equipment.</p>\n"
        .to_owned();
    for tag in Tag::ALL {
        let cards: String = registry
            .iter()
            .filter(|entry| entry.tag == tag)
            .map(card)
            .collect();
        if cards.is_empty() {
            continue;
        }
        let inside = format!(
            "<p>{}</p>\n<ul class=\"cards\">\n{cards}</ul>\n",
            with_code(tag.description())
        );
        main.push_str(&section(tag.name(), tag.name(), &inside));
    }
    page("Calculations", &main)
}

fn card(entry: &Entry) -> String {
    format!(
        "<li><a href=\"{}\">{}</a><p>{}</p><p class=\"small\">{}</p></li>\n",
        escaped(&path(entry)),
        escaped(entry.name),
        with_code(entry.summary),
        basis(entry.basis),
    )
}

/// The page of a calculation.
pub(super) fn of(entry: &'static Entry) -> String {
    let inside = [
        trial::form(entry),
        pictures::all(entry),
        working::steps(entry),
        request(entry),
        answer(entry),
        working::sources(entry),
        cautions(entry.cautions),
        problems(entry),
        call(entry),
    ];
    let parts = || {
        SECTIONS
            .iter()
            .zip(&inside)
            .filter(|(_, inside)| !inside.is_empty())
    };
    let contents: String = parts()
        .map(|((id, heading), _)| format!("<li><a href=\"#{id}\">{heading}</a></li>\n"))
        .collect();
    let sections: String = parts()
        .map(|((id, heading), inside)| section(id, heading, inside))
        .collect();
    let main = format!(
        "<h1>{}</h1>\n<p class=\"lead\">{}</p>\n<p class=\"basis\">{}</p>\n{}\
         <nav class=\"contents\" aria-label=\"On this page\"><ul>\n{contents}</ul></nav>\n{sections}",
        escaped(entry.name),
        with_code(entry.summary),
        basis(entry.basis),
        paragraphs(entry.description),
    );
    page(entry.name, &main)
}

/// A text with blank lines between its paragraphs.
fn paragraphs(text: &str) -> String {
    let parts = text.split("\n\n");
    parts
        .map(|part| format!("<p>{}</p>\n", with_code(part)))
        .collect()
}

/// What kind of truth an answer is, for a reader.
const fn basis(basis: Basis) -> &'static str {
    match basis {
        Basis::Measured => "Worked out of your own readings, as good as they are",
        Basis::PublishedFormula => "From published formulas and tables",
        Basis::SimulatedUnvalidated => "Simulated by a model that no raw experiment has validated",
        Basis::CommonPractice => "Common practice of the trade, no published source",
    }
}

fn request(entry: &'static Entry) -> String {
    let rules: String = entry
        .rules
        .iter()
        .map(|rule| format!("<li>{}</li>\n", with_code(&rule.sentence())))
        .collect();
    let rules = if rules.is_empty() {
        rules
    } else {
        format!("<ul class=\"rules\">\n{rules}</ul>\n")
    };
    rules + &fields::list(&entry.request_schema(), Side::Request)
}

fn answer(entry: &'static Entry) -> String {
    format!(
        "{}<details><summary>With every answer</summary>\n{}</details>\n",
        fields::list(&entry.response_schema(), Side::Answer),
        fields::list(&Schemas::of::<Provenance>(), Side::Answer),
    )
}

fn cautions(codes: &[CautionCode]) -> String {
    if codes.is_empty() {
        return String::new();
    }
    let items: String = codes
        .iter()
        .map(|code| {
            let severity = match code.severity() {
                Severity::Info => "info",
                Severity::Notice => "notice",
                Severity::Hazard => "hazard",
            };
            format!(
                "<div class=\"{severity}\"><dt><code>{}</code></dt><dd class=\"kind\">{severity}</dd><dd>{}</dd></div>\n",
                code.as_str(),
                with_code(code.text()),
            )
        })
        .collect();
    format!("<p>What an answer may tell you to mind.</p>\n<dl class=\"fields\">\n{items}</dl>\n")
}

fn problems(entry: &Entry) -> String {
    let heavy = [
        ProblemCode::WorkTooLarge,
        ProblemCode::Overloaded,
        ProblemCode::DeadlineExceeded,
    ];
    let heavy = heavy.iter().filter(|_| entry.weight != Weight::Light);
    let items: String = document::COMMON
        .iter()
        .filter(|code| **code != ProblemCode::NotFound)
        .chain(heavy)
        .map(|code| {
            let (word, title) = (code.as_str(), escaped(code.title()));
            format!(
                "<li><a href=\"/problems/{word}\"><code>{word}</code></a> {}: {title}</li>\n",
                code.status()
            )
        })
        .collect();
    format!(
        "<p>A refused request names every fault at once.</p>\n<ul class=\"plain\">\n{items}</ul>\n"
    )
}

fn call(entry: &Entry) -> String {
    let (path, methods) = (escaped(entry.path()), mount::methods(entry));
    let id = format!("compute_{}", entry.name.replace(['-', '/'], "_"));
    let tag = entry.tag.name();
    let mut text = format!("<p><code>{path}</code> answers {methods}.");
    if entry.is_flat() {
        text.push_str(
            " The answer to GET is that to POST; many requests fit <code>text/csv</code> or \
             <code>application/x-ndjson</code>, one a row.",
        );
    }
    // writing to a String does not fail
    let _ = writeln!(
        text,
        " All forms, with schemas: <a href=\"/docs/#/{tag}/{id}\">{id}</a> in the interactive \
         documentation; <a href=\"/openapi.json\">the document</a> for generated clients.</p>"
    );
    text
}
