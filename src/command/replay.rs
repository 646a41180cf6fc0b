//! `replay`: the requests of `demo-data/`, posted to a service, and what came back as a table.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;
use serde_json::Value;

use super::{Outcome, say};
use crate::api::calculation::Headline;
use crate::api::registry::{Entry, REGISTRY};
use crate::api::units::{unit_of_path, without_unit};
use crate::client::{Client, ClientError};
use crate::server::settings::Settings;
use crate::server::start;

/// What to replay, and to whom.
#[derive(Debug, Args)]
pub(super) struct Options {
    /// A running service, such as `http://127.0.0.1:8080` [default: one started for this].
    #[arg(long, value_name = "URL")]
    to: Option<String>,

    /// Folder with a folder of request bodies for each calculation.
    #[arg(long, default_value = "demo-data", value_name = "FOLDER")]
    data: PathBuf,
}

pub(super) fn run(options: &Options) -> Outcome {
    let files = files(&options.data)?;
    actix_web::rt::System::new().block_on(async {
        let (base, own) = match &options.to {
            Some(base) => (base.clone(), None),
            None => {
                let running = start(Settings::from_arguments(&QUIET)?, REGISTRY)?;
                let server = actix_web::rt::spawn(running.server);
                (
                    format!("http://{}", running.address),
                    Some((running.handle, server)),
                )
            }
        };
        let refused = replay(&Client::new(&base)?, &files).await?;
        if let Some((handle, server)) = own {
            handle.stop(true).await;
            server.await??;
        }
        say(&format!("{} requests, {refused} refused", files.len()));
        Ok(if refused == 0 {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        })
    })
}

/// Settings of a service on a free port that logs nothing.
const QUIET: [&str; 6] = [
    "--listen",
    "127.0.0.1:0",
    "--log",
    "error",
    "--workers",
    "1",
];

/// A request body and the calculation that its folder names.
#[derive(Debug)]
struct File {
    entry: &'static Entry,
    path: PathBuf,
    body: String,
}

/// The request bodies below a folder, in the order of the registry and then by name.
fn files(folder: &Path) -> Result<Vec<File>, Box<dyn std::error::Error>> {
    let mut files = Vec::new();
    std::fs::read_dir(folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    // a name with a slash is a folder in a folder
    for entry in REGISTRY {
        let path = folder.join(entry.name);
        if !path.is_dir() {
            continue;
        }
        for file in std::fs::read_dir(&path)? {
            let path = file?.path();
            if path.extension().is_some_and(|ending| ending == "json") {
                let body = std::fs::read_to_string(&path)?;
                files.push(File { entry, path, body });
            }
        }
    }
    let place = |file: &File| {
        REGISTRY
            .iter()
            .position(|entry| entry.name == file.entry.name)
    };
    files.sort_by(|a, b| (place(a), &a.path).cmp(&(place(b), &b.path)));
    if files.is_empty() {
        return Err(format!("no request bodies below {}", folder.display()).into());
    }
    Ok(files)
}

/// Posts every file, prints a line for each, and answers how many were refused.
async fn replay(client: &Client, files: &[File]) -> Result<usize, ClientError> {
    let width = files
        .iter()
        .map(|file| stem(&file.path).chars().count())
        .max()
        .unwrap_or(0);
    let mut refused = 0;
    let mut last = "";
    for file in files {
        if file.entry.name != last {
            last = file.entry.name;
            say(&format!("{last}: {}", file.entry.summary.to_lowercase()));
        }
        let (status, text) = client.post(file.entry.path(), file.body.clone()).await?;
        let answer: Value = serde_json::from_str(&text).unwrap_or_default();
        let outcome = if status.is_success() {
            headlines(file.entry.headlines, &answer)
        } else {
            refused += 1;
            answer["detail"]
                .as_str()
                .unwrap_or("no problem document")
                .to_owned()
        };
        say(&format!(
            "  {:width$}  {}  {outcome}",
            stem(&file.path),
            status.as_u16()
        ));
        for caution in answer["cautions"].as_array().into_iter().flatten() {
            let code = caution["code"].as_str().unwrap_or_default();
            let severity = caution["severity"].as_str().unwrap_or_default();
            say(&format!("  {:width$}       {severity}: {code}", ""));
        }
    }
    Ok(refused)
}

fn stem(path: &Path) -> &str {
    path.file_stem()
        .and_then(|name| name.to_str())
        .unwrap_or_default()
}

/// The outputs that a person looks at first, rounded, with their units.
fn headlines(headlines: &[Headline], answer: &Value) -> String {
    let shown: Vec<_> = headlines
        .iter()
        // a table has room for one scale of temperature
        .filter(|headline| !headline.path.ends_with("_f"))
        .filter_map(|headline| {
            let pointer = format!("/{}", headline.path.replace('.', "/"));
            let text = match answer.pointer(&pointer)? {
                Value::Number(number) => format!("{:.*}", headline.decimals, number.as_f64()?),
                Value::String(word) => word.clone(),
                Value::Bool(flag) => if *flag { "yes" } else { "no" }.to_owned(),
                Value::Null | Value::Array(_) | Value::Object(_) => return None,
            };
            let unit = unit_of_path(headline.path);
            let unit = if unit == "1" {
                String::new()
            } else {
                format!(" {unit}")
            };
            Some(format!("{} {text}{unit}", label(headline.path)))
        })
        .collect();
    shown.join(", ")
}

/// The path of an output without its unit, as words.
fn label(path: &str) -> String {
    // a share of something says what of
    let path = path.replace("_percent_of_", "_of_");
    let words: Vec<_> = path
        .split('.')
        .map(without_unit)
        .filter(|word| !word.is_empty())
        .collect();
    let words = if words.is_empty() {
        path
    } else {
        words.join(" ")
    };
    words.replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::label;

    #[test]
    fn a_label_says_what_is_shown_without_its_unit() {
        assert_eq!(label("at_target.tds_percent"), "at target tds");
        assert_eq!(label("condensate_percent_of_milk"), "condensate of milk");
        assert_eq!(
            label("water.total_hardness.mg_per_l_caco3"),
            "water total hardness"
        );
        assert_eq!(label("days_covered"), "days covered");
    }
}
