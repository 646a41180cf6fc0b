//! A sheet as a page to be printed: a page for each student, and the marking key on its own.

use std::fmt::Write;

use serde_json::Value;

use super::tolerance::to_figures;
use crate::api::markup::escaped;
use crate::api::provenance::shown;
use crate::api::rows::dialect::Dialect;

const STYLE: &str = "body{font-family:system-ui,sans-serif;line-height:1.4;max-width:48rem;margin:1rem auto;padding:0 1rem}\
    h1{font-size:1.5rem}h2{font-size:1.15rem}table{border-collapse:collapse;width:100%}\
    th,td{border:1px solid;padding:.25rem .35rem;text-align:left}.number{text-align:right;white-space:nowrap}\
    td.blank{min-width:4.5rem;text-align:right}.name{display:flex;flex-wrap:wrap;gap:0 2rem;justify-content:space-between}\
    .care{border:1px solid;padding:.3rem .6rem}small{overflow-wrap:anywhere}.key{overflow-x:auto}.key table{font-size:.85rem}\
    @media(min-width:36rem){td.blank{padding-left:6rem}}@page{margin:15mm}\
    @media print{section{break-after:page}section:last-child{break-after:auto}article,tr,.care{break-inside:avoid}\
    body{margin:0;padding:0;max-width:none;font-size:10.5pt;line-height:1.3}h1,h2,p{margin:.4rem 0}.working{height:2.2cm}\
    .key td,.key th{padding:.1rem .4rem}}@media screen{section+section{border-top:2px solid;margin-top:2rem}}";

/// The answer of `exercises/sheet` as HTML.
#[must_use]
pub fn of(answer: &Value, _dialect: Dialect) -> String {
    let title = escaped(answer["title"].as_str().unwrap_or("Exercises"));
    let mut page = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n\
         <style>{STYLE}</style>\n</head>\n<body>\n"
    );
    let care = care(answer);
    for student in items(&answer["students"]) {
        // writing to a String cannot fail, here and below
        let _ = write!(
            page,
            "<section>\n<h1>{title}</h1>\n<p class=\"name\"><span>Student {}</span><span>Name: ____________________</span></p>\n",
            student["student"]
        );
        for (exercise, place) in items(&student["exercises"]).zip(1..) {
            push_exercise(&mut page, exercise, (place, &answer["topic_version"]));
        }
        page.push_str(&care);
        page.push_str("</section>\n");
    }
    if answer["key"].is_array() {
        push_key(&mut page, answer, &title);
    }
    page.push_str("</body>\n</html>\n");
    page
}

fn push_exercise(page: &mut String, exercise: &Value, (place, version): (u32, &Value)) {
    let topic = text(&exercise["topic"]);
    let _ = write!(
        page,
        "<article>\n<h2>{place}. {}</h2>\n<p>{}</p>\n<div class=\"working\"></div>\n\
         <table>\n<tr><th>wanted</th><th>answer</th><th>figures</th><th>marks</th></tr>\n",
        escaped(&headed(topic)),
        escaped(&unbroken(text(&exercise["question"]), &exercise["data"]))
    );
    for (step, letter) in items(&exercise["asked"]).zip('a'..='z') {
        let _ = writeln!(
            page,
            "<tr><td>({letter}) {}</td><td class=\"blank\">{}</td><td class=\"number\">{}</td><td class=\"number\">/ {}</td></tr>",
            escaped(text(&step["words"])),
            escaped(unit(step)),
            step["significant_figures"],
            step["marks"]
        );
    }
    let _ = write!(
        page,
        "</table>\n<p><small>{}, level {}, seed {}, topic version {version}</small></p>\n</article>\n",
        escaped(topic),
        exercise["level"],
        exercise["seed"]
    );
}

/// What to mind where the exercises are tried out, once for a sheet of paper.
fn care(answer: &Value) -> String {
    let texts: Vec<_> = items(&answer["cautions"])
        .map(|caution| escaped(text(&caution["text"])))
        .collect();
    if texts.is_empty() {
        return String::new();
    }
    format!(
        "<p class=\"care\"><small><strong>If you try this out:</strong> {}</small></p>\n",
        texts.join(" ")
    )
}

fn push_key(page: &mut String, answer: &Value, title: &str) {
    let _ = write!(
        page,
        "<section class=\"key\">\n<h1>{title}: marking key</h1>\n<table>\n<thead><tr><th>student</th>\
         <th>exercise</th><th>wanted</th><th>answer</th><th>value</th><th>within</th></tr></thead>\n<tbody>\n"
    );
    let mut lines = items(&answer["key"]);
    for student in items(&answer["students"]) {
        for (exercise, place) in items(&student["exercises"]).zip(1..) {
            for (_, letter) in items(&exercise["asked"]).zip('a'..='z') {
                let Some(line) = lines.next() else { break };
                push_line(page, line, &format!("{place} ({letter})"));
            }
        }
    }
    page.push_str("</tbody>\n</table>\n</section>\n");
}

fn push_line(page: &mut String, line: &Value, place: &str) {
    let number = |name: &str| line[name].as_f64().unwrap_or_default();
    let figures = line["significant_figures"].as_u64().unwrap_or_default();
    let _ = writeln!(
        page,
        "<tr><td>{}</td><td>{place}</td><td>{}</td><td class=\"number\">{} {}</td>\
         <td class=\"number\">{}</td><td class=\"number\">± {}</td></tr>",
        line["student"],
        escaped(text(&line["words"])),
        to_figures(number("value"), u8::try_from(figures).unwrap_or(u8::MAX)),
        escaped(unit(line)),
        shown(number("value")),
        shown(number("tolerance"))
    );
}

/// The name of a topic as a heading.
fn headed(topic: &str) -> String {
    let words = topic.replace('-', " ");
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// A question whose lines do not break between a number and its unit.
fn unbroken(question: &str, data: &Value) -> String {
    items(data).fold(question.to_owned(), |question, datum| {
        let (number, unit) = (text(&datum["text"]), text(&datum["unit"]));
        question.replace(
            &format!("{number} {unit}"),
            &format!("{number}\u{a0}{unit}"),
        )
    })
}

/// The unit of a step; nothing for a pure number.
fn unit(step: &Value) -> &str {
    match text(&step["unit"]) {
        "1" => "",
        "d" => "days",
        unit => unit,
    }
}

fn items(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}
