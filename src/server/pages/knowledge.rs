//! The pages about the numbers: what there is, where it is from, what to mind.

use actix_web::HttpResponse;
use serde_json::json;

use super::listed;
use crate::api::basket_sizes::{self, BasketSize};
use crate::api::bibliography::{self, Source};
use crate::api::caution::{self, CautionEntry};
use crate::api::control_charts::{self, ControlChartEntry};
use crate::api::drinks::{self, DrinkEntry};
use crate::api::milks::{self, MilkEntry};
use crate::api::unit_codes::{self, UnitEntry};
use crate::api::water::profiles::{self, WaterProfile};
use crate::api::water::salts::{self, SaltForm};
use crate::server::page::{JSON, KNOWLEDGE, Page, PageSchema, Parameter, list_schema};
use crate::server::{caching, capabilities, catalogue, failure, guide, html, problem_pages};

/// The pages, in the order of the document.
pub(super) static ALL: &[Page] = &[
    Page {
        path: "/v1",
        operation_id: "list_calculations",
        summary: "All calculations",
        description: "Name, path, group, methods and charts of every calculation, and whether its request is flat.",
        tag: KNOWLEDGE,
        schema: catalogue::schema,
        answer: |asked| catalogue::page(asked.registry()),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: guide::INDEX,
        operation_id: "read_calculation_pages",
        summary: "A page for every calculation, for people",
        description: "The list of the pages that explain each calculation, in groups.",
        tag: KNOWLEDGE,
        media_type: html::TYPE,
        schema: guide::schema,
        answer: guide::show_all,
        keep: Some(caching::FIVE_MINUTES),
        ..Page::PLAIN
    },
    Page {
        path: guide::ROUTE,
        operation_id: "read_calculation_page",
        summary: "The page of a calculation, for people",
        description: "A form that calls it, a chart of an example, formulas, fields with unit and range, answer, sources, cautions.",
        tag: KNOWLEDGE,
        media_type: html::TYPE,
        schema: guide::schema,
        parameter: Some(Parameter {
            name: "name",
            description: "Name of the calculation; its slash may stand as it is or as %2F.",
            words: guide::names,
        }),
        needs_guide: true,
        answer: guide::show_one,
        keep: Some(caching::FIVE_MINUTES),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/sources",
        operation_id: "list_sources",
        summary: "The bibliography",
        description: "Every source that an answer can name in `sources`: citation, equation, where it holds, how \
            uncertain it is, and how it is known.",
        tag: KNOWLEDGE,
        status: 200,
        media_type: JSON,
        schema: sources_schema,
        answer: |_| listed("sources", bibliography::sources()),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/cautions",
        operation_id: "list_cautions",
        summary: "All cautions",
        description: "Every caution that an answer can carry, with its severity and its text in English, so that a \
            caller can translate them.",
        tag: KNOWLEDGE,
        status: 200,
        media_type: JSON,
        schema: cautions_schema,
        answer: |_| listed("cautions", &caution::all()),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/problems",
        operation_id: "list_problems",
        summary: "All kinds of problems",
        description: "Every code that a problem document can have: its status, what it means, what to do about it, \
            an example, and the codes that its `errors` can hold.",
        tag: KNOWLEDGE,
        schema: problem_pages::schema_all,
        has_html: true,
        answer: problem_pages::show_all,
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/problems/{code}",
        operation_id: "read_problem",
        summary: "A kind of problem",
        description: "What the `type` of a problem document leads to: what the code means and what to do about it.",
        tag: KNOWLEDGE,
        schema: problem_pages::schema_one,
        parameter: Some(Parameter {
            name: "code",
            description: "Code of the problem.",
            words: problem_pages::codes,
        }),
        has_html: true,
        answer: problem_pages::show_one,
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/reference/baskets",
        operation_id: "list_baskets",
        summary: "Common basket diameters",
        description: "Diameters by which espresso baskets are sold, with the doses that `basket-capacity` answers for the \
            diameter alone. Trade sizes: no standard on basket dimensions is published.",
        tag: KNOWLEDGE,
        schema: baskets_schema,
        answer: |_| match basket_sizes::all() {
            Ok(baskets) => listed("baskets", &baskets),
            Err(error) => failure::response(error.into()),
        },
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/reference/units",
        operation_id: "list_units",
        summary: "Units by their UCUM codes",
        description: "The units that `unit-conversion` knows: code, name, what each one measures, and its exact factor.",
        tag: KNOWLEDGE,
        schema: units_schema,
        answer: |_| listed("units", &unit_codes::all()),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/reference/drinks",
        operation_id: "list_drinks",
        summary: "Drinks by their proportions",
        description: "The drinks that `drink` names in `recipes`, with the proportions and times that it takes when the \
            caller gives none. All are common practice, no source: bars differ, and every number can be overridden.",
        tag: KNOWLEDGE,
        schema: drinks_schema,
        answer: |_| listed("drinks", &drinks::all()),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/reference/control-charts",
        operation_id: "list_control_charts",
        summary: "Published control charts",
        description: "The windows of strength and yield that `control_chart` names in `extraction-yield`, each with its \
            source and how it is known. None is a law of taste, and some limits are from memory and say so.",
        tag: KNOWLEDGE,
        schema: charts_schema,
        answer: |_| listed("control_charts", &control_charts::all()),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/reference/milks",
        operation_id: "list_milks",
        summary: "Milks by their fat",
        description: "The milks that `milk_id` names in `milk-steaming`, with composition, heat capacity and density. The \
            compositions are from memory. Plant drinks are left out: no source for their heat is at hand.",
        tag: KNOWLEDGE,
        schema: milks_schema,
        answer: |_| match milks::all() {
            Ok(milks) => listed("milks", &milks),
            Err(error) => failure::response(error.into()),
        },
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/capabilities",
        operation_id: "read_capabilities",
        summary: "Calculations, charts, limits and settings in force",
        description: "Every calculation with what a call of it may use, every chart, the formats, the limits and settings of the \
            running service, and its versions.",
        tag: KNOWLEDGE,
        schema: capabilities::schema,
        answer: capabilities::page,
        ..Page::PLAIN
    },
    Page {
        path: "/v1/reference/water-profiles",
        operation_id: "list_water_profiles",
        summary: "Published brewing-water profiles",
        description: "Dated data sets that `profile` of `brewing-water` can name, each with its limits and how it is \
            known. None is a law of nature, and editions differ.",
        tag: KNOWLEDGE,
        schema: profiles_schema,
        answer: |_| listed("water_profiles", &profiles::ALL),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
    Page {
        path: "/v1/reference/salts",
        operation_id: "list_salts",
        summary: "Salts for brewing water",
        description: "Every salt that `water-dosing` knows, in each form in which it is sold: molar mass with its water \
            of crystallisation, and what 100 mg/L of it brings. Use food-grade salts only.",
        tag: KNOWLEDGE,
        schema: salts_schema,
        answer: |_| salts_page(),
        keep: Some(caching::A_DAY),
        ..Page::PLAIN
    },
];

fn sources_schema() -> PageSchema {
    let example = json!({"sources": bibliography::sources().get(..1).unwrap_or_default()});
    list_schema::<Source>("sources", "All sources.", example)
}

fn cautions_schema() -> PageSchema {
    let example = json!({"cautions": caution::all().get(..1).unwrap_or_default()});
    list_schema::<CautionEntry>("cautions", "All cautions.", example)
}

fn baskets_schema() -> PageSchema {
    let example = json!({"baskets": basket_sizes::all().unwrap_or_default()});
    list_schema::<BasketSize>("baskets", "Common diameters, the smallest first.", example)
}

fn units_schema() -> PageSchema {
    let all = unit_codes::all();
    let example = json!({"units": all.get(..1).unwrap_or_default()});
    list_schema::<UnitEntry>("units", "All units, by what they measure.", example)
}

fn drinks_schema() -> PageSchema {
    let example = json!({"drinks": drinks::all()});
    list_schema::<DrinkEntry>("drinks", "Drinks, espresso first.", example)
}

fn charts_schema() -> PageSchema {
    let example = json!({"control_charts": control_charts::all()});
    let description = "Charts, the defaults first.";
    list_schema::<ControlChartEntry>("control_charts", description, example)
}

fn milks_schema() -> PageSchema {
    let example = json!({"milks": milks::all().unwrap_or_default()});
    list_schema::<MilkEntry>("milks", "Milks, the leanest first.", example)
}

fn profiles_schema() -> PageSchema {
    let example = json!({"water_profiles": profiles::ALL.get(..1).unwrap_or_default()});
    list_schema::<WaterProfile>("water_profiles", "All profiles.", example)
}

fn salts_schema() -> PageSchema {
    let forms = salts::forms().unwrap_or_default();
    let example = json!({"salts": forms.get(..1).unwrap_or_default()});
    list_schema::<SaltForm>("salts", "Every salt in every form.", example)
}

fn salts_page() -> HttpResponse {
    match salts::forms() {
        Ok(forms) => listed("salts", &forms),
        Err(error) => failure::response(error.into()),
    }
}
