//! The derivation ends at what is answered.

use serde_json::json;

use super::answer;

#[tokio::test]
async fn the_workings_end_at_the_values_answered() {
    let weather = json!({"altitude_ft": 900, "sea_level_pressure_hpa": 1008.6,
        "air_temperature_c": 21.5, "relative_humidity_percent": 54});
    let machine = json!({"station_pressure_hpa": 741.2, "brew_pressure_bar": 9});
    let setting = json!({"altitude_m": 1800, "altimeter_setting_hpa": 1021});
    for (body, least) in [
        (
            json!({"altitude_m": 2500, "target_temperature_f": 199.4}),
            9,
        ),
        (weather, 7),
        (machine, 9),
        (setting, 7),
    ] {
        let mut body = body;
        body["workings"] = json!(true);
        let answer = answer(&body).await;
        let steps = answer["workings"].as_array().expect("workings");
        let mut ends = 0;
        for step in steps {
            let name = step["step"].as_str().expect("a name");
            if answer.get(name).is_some() {
                assert_eq!(step["value"], answer[name], "{body}: {name}");
                ends += 1;
            }
            let source = &step["source"];
            let sources = answer["sources"].as_array().expect("sources");
            assert!(sources.contains(source), "{body}: {source} of {name}");
        }
        assert!(ends >= least, "{body}: {ends} of {steps:?}");
    }
}

/// Every number of the answer has its step when all of them are there to be found.
#[tokio::test]
async fn the_workings_find_every_number_of_the_answer() {
    let body = json!({"altitude_m": 2500, "brew_pressure_bar": 9, "workings": true});
    let answer = answer(&body).await;
    let steps = answer["workings"].as_array().expect("workings");
    let found: Vec<_> = steps.iter().map(|step| &step["step"]).collect();
    for (name, value) in answer.as_object().expect("an object") {
        // given or usual, not found
        if value.is_f64() && name != "target_temperature_c" {
            assert!(found.contains(&&json!(name)), "{name} has no step");
        }
    }
}
