//! A sheet as a page to be printed: a page for each student, and the marking key on its own.

use std::fmt::Write;

use serde_json::Value;

use super::exercise::spoken;
use crate::api::markup::escaped;
use crate::api::provenance::shown;
use crate::api::rows::dialect::Dialect;

const STYLE: &str = "body{font-family:system-ui,sans-serif;line-height:1.4;max-width:48rem;margin:1rem auto;padding:0 1rem}\
    table{border-collapse:collapse;width:100%}th,td{border:1px solid;padding:.3rem .5rem;text-align:left}\
    td.blank{min-width:8rem}.name{display:flex;justify-content:space-between}\
    @media print{section{break-after:page}section:last-child{break-after:auto}article,tr{break-inside:avoid}body{margin:0;max-width:none}}";

/// The answer of `exercises/sheet` as HTML.
#[must_use]
pub fn of(answer: &Value, _dialect: Dialect) -> String {
    let title = escaped(answer["title"].as_str().unwrap_or("Exercises"));
    let mut page = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n\
         <style>{STYLE}</style>\n</head>\n<body>\n"
    );
    for student in items(&answer["students"]) {
        push_student(&mut page, student, &title);
    }
    if let Some(key) = answer["key"].as_array() {
        push_key(&mut page, key, &title);
    }
    page.push_str("</body>\n</html>\n");
    page
}

fn push_student(page: &mut String, student: &Value, title: &str) {
    // writing to a String cannot fail, here and below
    let _ = write!(
        page,
        "<section>\n<h1>{title}</h1>\n<p class=\"name\"><span>Student {}</span><span>Name: ____________________</span></p>\n",
        student["student"]
    );
    for (exercise, place) in items(&student["exercises"]).zip(1..) {
        let topic = escaped(&text(&exercise["topic"]).replace('-', " "));
        let _ = write!(
            page,
            "<article>\n<h2>{place}. {topic}</h2>\n<p>{}</p>\n\
             <table>\n<tr><th>step</th><th>answer</th><th>unit</th><th>significant figures</th><th>marks</th></tr>\n",
            escaped(&text(&exercise["question"]))
        );
        for step in items(&exercise["asked"]) {
            let _ = writeln!(
                page,
                "<tr><td>{}</td><td class=\"blank\"></td><td>{}</td><td>{}</td><td>/ {}</td></tr>",
                escaped(&spoken(&text(&step["step"]))),
                escaped(&text(&step["unit"])),
                step["significant_figures"],
                step["marks"]
            );
        }
        let _ = write!(
            page,
            "</table>\n<p><small>{}, level {}, seed {}</small></p>\n</article>\n",
            escaped(&text(&exercise["topic"])),
            exercise["level"],
            exercise["seed"]
        );
    }
    page.push_str("</section>\n");
}

fn push_key(page: &mut String, key: &[Value], title: &str) {
    let _ = write!(
        page,
        "<section class=\"key\">\n<h1>{title}: marking key</h1>\n<table>\n\
         <tr><th>student</th><th>topic</th><th>step</th><th>value</th><th>within</th><th>unit</th></tr>\n"
    );
    for line in key {
        let number = |name: &str| shown(line[name].as_f64().unwrap_or_default());
        let _ = writeln!(
            page,
            "<tr><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>",
            line["student"],
            escaped(&text(&line["topic"])),
            escaped(&spoken(&text(&line["step"]))),
            number("value"),
            number("tolerance"),
            escaped(&text(&line["unit"]))
        );
    }
    page.push_str("</table>\n</section>\n");
}

fn items(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}
