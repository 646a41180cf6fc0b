//! The charts, one file each.

/// Declares each file and its entry in the list: adding a chart is one line here.
macro_rules! charts {
    ($($file:ident::$chart:ident at $path:literal;)*) => {
        $(pub mod $file;)*

        static ENTRIES: [super::chart::ChartEntry; [$(stringify!($file)),*].len()] =
            [$(super::chart::ChartEntry::of::<$file::$chart>(concat!("/v1/charts/", $path)),)*];

        /// All charts, in the order of the document.
        pub static CHARTS: &[super::chart::ChartEntry] = &ENTRIES;
    };
}

charts! {
    strength_and_yield::StrengthAndYield at "strength-and-yield";
    uncertainty::UncertaintyBudget at "uncertainty";
    boiling_point::BoilingPoint at "boiling-point";
    shot::Shot at "shot";
    simulation::Simulation at "simulation";
}

/// The word that a value has in JSON, for people.
fn word<T: serde::Serialize>(value: &T) -> String {
    let value = serde_json::to_value(value).unwrap_or_default();
    value.as_str().unwrap_or_default().replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::CHARTS;

    #[test]
    fn a_chart_stands_at_its_name() {
        for chart in CHARTS {
            assert_eq!(chart.path, format!("/v1/charts/{}", chart.name));
        }
    }
}
